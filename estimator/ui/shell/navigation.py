"""The pages of the app: a registry, and where their scripts are."""

from dataclasses import dataclass
from pathlib import Path

import streamlit as st

_PACKAGE = Path(__file__).resolve().parents[2]
_STATIC = _PACKAGE / "ui" / "shell" / "static"
IMPRINT = _STATIC / "imprint.svg"
ICON = _STATIC / "ruler.svg"


@dataclass(frozen=True, slots=True, kw_only=True)
class PageEntry:
    """One page: `key` names its script and its address, `title` stands in the line of names."""

    key: str
    title: str


PAGES: tuple[PageEntry, ...] = tuple(
    PageEntry(key=title.lower(), title=title)
    for title in ("Case", "Clearance", "Options", "Visits", "Quote", "Sheets", "Records", "Fees", "Sources")
)
"""In the order shown; the first opens with the app. A new page is one line here and its script."""


def find_pages_folder(package: Path = _PACKAGE) -> Path:
    """The folder of page scripts: `_pages` inside an installed package, `pages` beside the package in a checkout."""
    for folder in (package / "_pages", package.parent / "pages"):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"no pages: expected {package / '_pages'} or {package.parent / 'pages'}")


def make_pages(entries: tuple[PageEntry, ...] = PAGES) -> list[st.Page]:
    """The registry as Streamlit pages with absolute paths."""
    folder = find_pages_folder()
    return [
        st.Page(folder / f"{entry.key}.py", title=entry.title, url_path=entry.key, default=index == 0)
        for index, entry in enumerate(entries)
    ]
