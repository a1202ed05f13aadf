"""The demo as files of one's own."""

from pathlib import Path

from estimator.base.field_reference import comment_declared
from estimator.base.problems import InputError, Problem
from estimator.files.loading import find_plans
from estimator.files.reading import load_toml
from estimator.files.shipped import DATA, find_demo_fees
from estimator.inputs.payment.jurisdiction_fields import PROFILE
from estimator.inputs.plans.declared import PLAN
from estimator.inputs.practice.settings import SETTINGS

_EXPLAINED = {
    "settings.toml": (SETTINGS, "A practice's settings. Everything here is invented: put your own in."),
    "profile.toml": (
        PROFILE,
        "How your quotes are made. What is left out is that of the shipped profile. Names and numbers are invented.",
    ),
    "plan_a.toml": (PLAN, "An invented benefit plan: no such plan exists, every number is made up, as is the patient."),
    "plan_b.toml": (PLAN, "A second invented plan, without a contract and paying after another plan."),
}


def write_demo(folder: Path) -> tuple[Path, ...]:
    """Copy the demo case, its fees and a practice folder to edit; nothing that exists is overwritten."""
    demo = DATA / "demo"
    copies = {
        **{folder / "practice" / "plans" / path.name: path for path in find_plans(demo)},
        folder / "case.toml": demo / "case.toml",
        folder / "practice" / "settings.toml": demo / "settings.toml",
        folder / "practice" / "profile.toml": demo / "profile.toml",
        folder / "practice" / "fees" / "demo_fees.csv": find_demo_fees(),
    }
    standing = [path for path in copies if path.exists()]
    if standing:
        raise InputError([Problem(file=str(path), code="file.exists") for path in standing])
    for target, source in copies.items():
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(_explain(source))
    for name in ("options", "wording"):
        (folder / "practice" / name).mkdir(exist_ok=True)
    return tuple(copies)


def _explain(path: Path) -> bytes:
    """A file of the demo, with a comment at each field where its fields are declared."""
    if path.name not in _EXPLAINED:
        return path.read_bytes()
    section, head = _EXPLAINED[path.name]
    return comment_declared(section, load_toml(path), head=head).encode()
