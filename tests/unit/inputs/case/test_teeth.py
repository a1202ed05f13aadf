"""What a tooth is called."""

import pytest

from estimator.inputs.case.model import Arch, list_teeth
from estimator.inputs.case.teeth import ToothNumbers, name_tooth


@pytest.mark.parametrize(
    ("iso", "us"),
    [("18", "1"), ("11", "8"), ("21", "9"), ("28", "16"), ("38", "17"), ("31", "24"), ("41", "25"), ("48", "32"), ("46", "30")],
)  # fmt: skip
def test_a_tooth_has_its_us_number_where_the_practice_reads_those(iso: str, us: str) -> None:
    assert (name_tooth(iso, ToothNumbers.US), name_tooth(iso, ToothNumbers.ISO)) == (us, iso)


def test_every_tooth_has_a_us_number_of_its_own() -> None:
    teeth = [*list_teeth(Arch.MAXILLA), *list_teeth(Arch.MANDIBLE)]
    assert sorted(int(name_tooth(tooth, ToothNumbers.US)) for tooth in teeth) == list(range(1, 33))
