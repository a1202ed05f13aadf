"""Several sheets as one file: a zip that holds nothing of the machine or the moment it was made."""

import io
from collections.abc import Iterable
from datetime import date
from zipfile import ZIP_STORED, ZipFile, ZipInfo

from estimator.proposal.numbering import name_file

_UNIX = 3
_PLAIN_FILE = 0o644 << 16


def zip_sheets(sheets: Iterable[tuple[str, bytes]], *, day: date) -> bytes:
    """Files by name; equal files of one day give equal bytes. A PDF is packed already and is stored as it is."""
    out = io.BytesIO()
    with ZipFile(out, "w", ZIP_STORED) as bundle:
        for name, data in sheets:
            entry = ZipInfo(name, date_time=(day.year, day.month, day.day, 0, 0, 0))
            entry.create_system, entry.external_attr = _UNIX, _PLAIN_FILE
            bundle.writestr(entry, data)
    return out.getvalue()


def name_bundle(reference: str) -> str:
    """The file's name: the case's reference, never the patient."""
    return name_file("sheets", reference, end="zip")
