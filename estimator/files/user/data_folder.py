"""The user's own folder: practice files and saved cases, kept when the tool is updated."""

import os
from datetime import date
from pathlib import Path

import platformdirs
import tomli_w

from estimator.files.loading import load_practice, parse_case
from estimator.files.reading import parse_toml
from estimator.inputs.case.model import Case
from estimator.inputs.practice_bundle import Practice
from estimator.proposal.document import make_proposal_document
from estimator.proposal.model import Proposal

_FOLDER_VARIABLE = "OVERDENTURE_DATA"
BESIDE_THE_CASE = ("proposal", "typed")
"""Tables of a saved case that are not the case: what is chosen for the patient, and what is typed on the pages."""


def find_user_folder() -> Path:
    """The folder named by OVERDENTURE_DATA, else the place where this system keeps a user's data."""
    named = os.environ.get(_FOLDER_VARIABLE)
    return Path(named) if named else platformdirs.user_data_path("overdenture-options", appauthor=False)


def find_practice_folder() -> Path:
    """The practice folder of this user, made if it is not there yet."""
    folder = find_user_folder() / "practice"
    (folder / "fees").mkdir(parents=True, exist_ok=True)
    return folder


def find_records_url() -> str:
    """The database of saved cases: a SQLite file in the user's folder."""
    folder = find_user_folder()
    folder.mkdir(parents=True, exist_ok=True)
    return f"sqlite:///{(folder / 'cases.sqlite').as_posix()}"


def load_user_practice(*, today: date | None = None) -> Practice:
    """The practice of this user, with the demo fees until there are fees of its own."""
    return load_practice(find_practice_folder(), today=today)


def write_proposal_text(proposal: Proposal) -> str:
    """A case with what is offered for it, as the text of a case file."""
    return tomli_w.dumps(make_proposal_document(proposal))


def read_case_text(text: str, file: str, *, today: date) -> Case:
    """A case from the text of a case file, without what is chosen and typed beside it. Raises InputError."""
    document = {name: value for name, value in parse_toml(text, file).items() if name not in BESIDE_THE_CASE}
    return parse_case(document, file, today=today)
