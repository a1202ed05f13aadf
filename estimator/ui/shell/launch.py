"""Starts the app: Streamlit on the entry script, for this computer only, without statistics to anyone."""

import os
import signal
import subprocess
import sys
from pathlib import Path
from types import FrameType

_ENTRY = Path(__file__).resolve().with_name("entry.py")
_ROOT = _ENTRY.parents[3]

# Also in .streamlit/config.toml beside the entry script; said again because environment variables outrank that file.
_FIXED = ("--server.address=127.0.0.1", "--browser.gatherUsageStats=false", "--server.showEmailPrompt=false")


def build_command(port: int | None, extra: tuple[str, ...] = ()) -> tuple[str, ...]:
    """The command line, as a list of arguments that no shell reads.

    `extra` holds options of `streamlit run`, then "--" and arguments of the script if there are any. The last of two
    equal options wins, so the fixed ones stand behind `extra`: nothing there can serve other computers. `-P` keeps out
    modules that happen to lie in the current folder.
    """
    cut = extra.index("--") if "--" in extra else len(extra)
    chosen = () if port is None else (f"--server.port={port}",)
    options = (*chosen, *extra[:cut], *_FIXED, *extra[cut:])
    return (sys.executable, "-P", "-m", "streamlit", "run", str(_ENTRY), *options)


def launch(port: int | None, extra: tuple[str, ...] = ()) -> int:
    """Runs the app until it is stopped and returns its exit code; 0 after Ctrl-C. Call it from the main thread.

    A browser opens, except where there is no display. Without `port` it is 8501, or the next that is free.
    """
    with subprocess.Popen(build_command(port, extra), env=_make_environment()) as server:  # noqa: S603 (no shell)

        def pass_on(_signal: int, _frame: FrameType | None) -> None:
            server.terminate()

        earlier = signal.signal(signal.SIGTERM, pass_on)
        try:
            return server.wait()
        except KeyboardInterrupt:
            server.wait()
            return 0
        finally:
            signal.signal(signal.SIGTERM, earlier)


def _make_environment() -> dict[str, str]:
    """The environment; a checkout that is not installed adds itself, so that pages can import `estimator`."""
    if not (_ROOT / "pyproject.toml").is_file():
        return dict(os.environ)
    paths = [str(_ROOT), *filter(None, [os.environ.get("PYTHONPATH")])]
    return {**os.environ, "PYTHONPATH": os.pathsep.join(paths)}
