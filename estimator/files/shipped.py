"""Where the data lie that ship with the tool."""

from pathlib import Path

DATA = Path(__file__).resolve().parents[1] / "data"
