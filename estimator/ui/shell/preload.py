"""Loads what the later pages need while somebody reads the first one."""

import importlib
import threading
from functools import cache

_LATER = (
    "estimator.ui.options.comparison",
    "estimator.ui.clearance.section",
    "estimator.ui.visits.section",
    "estimator.ui.quote.section",
    "estimator.ui.sheets.section",
    "estimator.ui.records.section",
)


@cache
def load_later_pages() -> threading.Thread:
    """Import the modules of the later pages in the background, once a process."""
    thread = threading.Thread(target=_load, name="later pages", daemon=True)
    thread.start()
    return thread


def _load() -> None:
    for name in _LATER:
        importlib.import_module(name)
