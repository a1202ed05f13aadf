"""For all tests: Hypothesis repeats the same examples, slow tests are marked, and CI turns every skip into a failure."""

import gc
import os
from collections.abc import Generator
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("quick", settings.get_profile("repeatable"), max_examples=30)
settings.load_profile("repeatable")

pytest_plugins = ["tests.served"]

SLOW_FOLDERS = {"app", "browser", "docs", "edges"}
QUICK_FILES = {
    "test_approval.py", "test_charts.py", "test_files.py", "test_kept_quotes.py", "test_languages_money.py",
    "test_own_data.py", "test_pdf_figure.py", "test_pdf_streams.py", "test_pdf_tagging.py", "test_records.py",
    "test_shell.py", "test_user_fees.py",
}  # fmt: skip
"""Files of slow folders that print no papers and open no page."""
NO_SKIP = os.environ.get("ESTIMATOR_NO_SKIP") == "1"


def is_slow(path: Path) -> bool:
    """Whether the tests of a file take seconds."""
    return path.parent.name in SLOW_FOLDERS and path.name not in QUICK_FILES


def asks_quick(config: pytest.Config) -> bool:
    """Whether only the quick tests are asked for."""
    return bool(config.option.markexpr == "not slow")


def pytest_configure(config: pytest.Config) -> None:
    """The quick tests try the first thirty of a hundred examples where a test does not say how many it needs."""
    if asks_quick(config):
        settings.load_profile("quick")


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """The quick tests do not wait for the libraries that slow files import."""
    return (
        True if asks_quick(config) and collection_path.name.startswith("test_") and is_slow(collection_path) else None
    )


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What takes seconds is marked by where it stands, so that nobody has to remember it."""
    for item in items:
        if is_slow(item.path):
            item.add_marker("slow")


def pytest_collection_finish() -> None:
    """What all tests share stays for the whole run, and need not be searched for garbage again and again."""
    gc.collect()
    gc.freeze()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """With ESTIMATOR_NO_SKIP=1 a skipped test is a failed one, with the reason it gave."""
    report = yield
    if NO_SKIP and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped where nothing may be skipped: {report.longrepr}"
    return report
