"""The logo at the head of this user's paper, and the terms if something fails: kept in the practice folder."""

from collections.abc import Mapping
from pathlib import Path

from estimator.base.problems import InputError
from estimator.files.practice.logo import read_logo
from estimator.files.user.data_folder import find_practice_folder
from estimator.files.user.own import blame_disk
from estimator.files.user.settings import keep_fields, keep_tables


def keep_logo(data: bytes, file: str) -> Path:
    """Put a PNG picture into the practice folder and name it in the settings; a logo of before stays there as a file.

    Raises InputError and changes nothing where it is no picture that can be printed, or cannot be written.
    """
    read_logo(data, file)
    path = _find_free(find_practice_folder())
    try:
        path.write_bytes(data)
    except OSError as error:
        raise blame_disk(path, error) from None
    try:
        keep_fields("practice", {"logo": path.name})
    except InputError:
        path.unlink()
        raise
    return path


def _find_free(folder: Path) -> Path:
    path, number = folder / "logo.png", 2
    while path.exists():
        path, number = folder / f"logo_{number}.png", number + 1
    return path


def leave_out_logo() -> None:
    """Print without a logo; its file stays. Raises InputError."""
    keep_fields("practice", {"logo": None})


def keep_terms(guarantee: Mapping[str, str], remake: Mapping[str, str], *, void: str, implant_fails: str) -> Path:
    """Say in the settings what is guaranteed and who pays for a remake, by option; an empty text is taken out.

    Raises InputError and changes nothing where a text is too long or the file cannot be written.
    """
    return keep_tables({
        "terms": {"void": void or None, "implant_fails": implant_fails or None},
        "terms.guarantee": {option: text or None for option, text in guarantee.items()},
        "terms.remake": {option: text or None for option, text in remake.items()},
    })  # fmt: skip
