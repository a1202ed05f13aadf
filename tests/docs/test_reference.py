"""The reference of fields in README is what the lists of fields give; each is to be put there as it is."""

import pytest

from estimator.base.declared import Section
from estimator.base.field_reference import tabulate_declared
from estimator.inputs.payment.jurisdiction_fields import PROFILE
from estimator.inputs.plans.declared import PLAN
from estimator.inputs.practice.settings import SETTINGS
from tests.builders import CHECKOUT

README = (CHECKOUT / "README.md").read_text(encoding="utf-8")
REFERENCES = {"settings.toml": SETTINGS, "profile.toml": PROFILE, "plans/": PLAN}


@pytest.mark.parametrize(("file", "section"), REFERENCES.items(), ids=list(REFERENCES))
def test_readme_says_what_every_field_is_as_the_list_does(file: str, section: Section) -> None:
    _, found, after = README.partition(f"### Fields of `{file}`\n\n")
    assert found, f"README has no heading for the fields of {file}"
    assert after.split("\n\n")[1] == tabulate_declared(section)
