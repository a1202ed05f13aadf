"""Several sheets as one zip: neutral, the same bytes each time, nothing of the machine in it."""

import io
import time
from datetime import date
from zipfile import ZipFile

from estimator.pdf.bundle import name_bundle, zip_sheets

DAY = date(2026, 11, 25)
SHEETS = (("option_sheet_T-1_mandible.pdf", b"%PDF one"), ("care_sheet_T-1_mandible.pdf", b"%PDF two"))


def test_equal_sheets_give_equal_bytes_two_seconds_later() -> None:
    """A zip keeps time in steps of two seconds."""
    first = zip_sheets(SHEETS, day=DAY)
    time.sleep(2.01)
    assert zip_sheets(SHEETS, day=DAY) == first


def test_the_files_are_in_it_as_they_are_with_the_day_and_no_machine() -> None:
    with ZipFile(io.BytesIO(zip_sheets(SHEETS, day=DAY))) as bundle:
        assert tuple((entry.filename, bundle.read(entry)) for entry in bundle.infolist()) == SHEETS
        assert {entry.date_time for entry in bundle.infolist()} == {(2026, 11, 25, 0, 0, 0)}
        assert {entry.create_system for entry in bundle.infolist()} == {3}
        assert bundle.testzip() is None


def test_it_is_named_after_the_case() -> None:
    assert name_bundle("T-1") == "sheets_T-1.zip"
