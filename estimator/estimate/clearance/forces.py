"""What inserts hold: newtons first, pounds-force beside them."""

from collections.abc import Mapping
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.inputs.case.model import Retention


def get_hold(retention: Retention, evidence: Evidence) -> Decimal:
    """What one insert of that strength holds. [N]"""
    return evidence.get(f"retention_{retention}").value


def to_pounds(force_n: Decimal, evidence: Evidence) -> Decimal:
    """A force in pounds-force, to the half. [lbf]"""
    return round(2 * force_n / evidence.get("newtons_per_pound").value) / Decimal(2)


def say_forces(forces_n: Mapping[str, Decimal], evidence: Evidence) -> dict[str, object]:
    """Each force in newtons under its name, and in pounds-force beside it."""
    pounds = {f"{name}_lbf": f"{to_pounds(force, evidence):g}" for name, force in forces_n.items()}
    return {**{str(name): f"{force:f}" for name, force in forces_n.items()}, **pounds}
