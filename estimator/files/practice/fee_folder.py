"""The fee schedules of a practice folder: all versions are kept, and one of them is in force."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from estimator.base.problems import InputError
from estimator.files.reading import parse_csv, read_text
from estimator.inputs.fees.schedule import EFFECTIVE


@dataclass(frozen=True, slots=True, kw_only=True)
class FeeVersion:
    """A fee schedule on disk. `effective_from` is None where its file does not say: it counts as the oldest then."""

    path: Path
    effective_from: date | None

    @property
    def file(self) -> str:
        """The name of its file."""
        return self.path.name

    def is_in_force(self, today: date) -> bool:
        """Whether its day has come."""
        return self.effective_from is None or self.effective_from <= today


def list_versions(folder: Path | None) -> tuple[FeeVersion, ...]:
    """Every version, in the order of their days; between equals the name decides, fees_2 before fees_3."""
    if folder is None or not (folder / "fees").is_dir():
        return ()
    found = [FeeVersion(path=path, effective_from=_peek_day(path)) for path in (folder / "fees").glob("*.csv")]
    return tuple(sorted(found, key=lambda version: (version.effective_from or date.min, version.file)))


def find_version_in_force(versions: tuple[FeeVersion, ...], today: date) -> FeeVersion | None:
    """The latest version whose day has come; where all are yet to come, the first of them."""
    begun = [version for version in versions if version.is_in_force(today)]
    return begun[-1] if begun else next(iter(versions), None)


def _peek_day(path: Path) -> date | None:
    """The day in the first row; whatever else is in a file is not looked at until it is used."""
    try:
        table = parse_csv(read_text(path), path.name, most_lines=2)
        return date.fromisoformat(table.rows[0].cells[EFFECTIVE])
    except (InputError, KeyError, IndexError, ValueError):
        return None
