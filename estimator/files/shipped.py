"""Where the data lie that ship with the tool."""

from pathlib import Path

DATA = Path(__file__).resolve().parents[1] / "data"


def find_demo_fees() -> Path:
    """The demo fee schedule: in the package of an installed wheel, at the top of a checkout."""
    packaged = DATA / "demo" / "demo_fees.csv"
    return packaged if packaged.exists() else DATA.parents[1] / "demo_fees.csv"
