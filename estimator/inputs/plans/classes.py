"""Benefit classes of a plan file: always the percentage that the plan pays, never the patient's."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.base.declared import Field, FieldKind, read_declared
from estimator.base.fields import Fields
from estimator.inputs.case.model import find_repeated
from estimator.inputs.plans.declared import CLASSES, PLAN
from estimator.inputs.plans.fields import make_line_readers
from estimator.inputs.plans.model import BenefitClass

_USUALLY_PAID_MOST = ("diagnostic", "preventive")
_USUALLY_PAID_LEAST = ("major", "prosthetic", "prosthodontic", "implant", "implants", "denture", "dentures")


def read_classes(fields: Fields, known_lines: Sequence[str] | None) -> tuple[BenefitClass, ...]:
    """The [[classes]] tables. A share for a percentage and the patient's percentage for the plan's are problems."""
    classes = tuple(_read_class(table, known_lines) for table in fields.read_tables("classes"))
    for code, values in (
        ("plans.class_twice", (c.key for c in classes)),
        ("plans.line_twice", (line for c in classes for line in c.lines)),
        ("plans.kind_twice", (kind.value for c in classes for kind in c.kinds)),
    ):
        for name in find_repeated(name for name in values if name):
            fields.add_problem("classes", code, found=name)
    if not fields.table.get("percentages_checked"):
        _blame_turned_round(fields, classes)
    return classes


def _read_class(table: Fields, known_lines: Sequence[str] | None) -> BenefitClass:
    said = read_declared(table, CLASSES, readers={FieldKind.PERCENT: _read_percent, **make_line_readers(known_lines)})
    pays = _settle_percentage(table, said["plan_pays_percent"], said.pop("patient_pays_percent"))
    table.refuse_others()
    return BenefitClass(**said | {"plan_pays_percent": pays})


def _settle_percentage(table: Fields, plan: Decimal | None, patient: Decimal | None) -> Decimal:
    if "plan_pays_percent" not in table:
        if patient is None:
            table.add_problem("plan_pays_percent", "plans.no_percent")
        else:
            table.add_problem("plan_pays_percent", "plans.percent_by_patient", plan=100 - patient, patient=patient)
    elif plan is not None and patient is not None and plan + patient != 100:
        table.add_problem("patient_pays_percent", "plans.percent_together", patient=100 - plan)
    return plan if plan is not None else Decimal(0)


def _read_percent(table: Fields, field: Field, _: object) -> Decimal | None:
    """A percentage from 0 to 100; a number over 0 and up to 1 is a share that somebody meant as a percentage."""
    name = field.key
    value = table.get_raw(name)
    if value is None:
        return None
    number = Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value
    if isinstance(number, Decimal) and number.is_finite() and 0 < number <= 1:
        table.add_problem(name, "plans.share", share=number, percent=(number * 100).normalize())
        return None
    return table.read_decimal(name, 0, 100, code="number.percentage", example="50")


def _blame_turned_round(fields: Fields, classes: Sequence[BenefitClass]) -> None:
    """Plans pay most of an examination, least of a denture; the other way round they are the patient's percentages."""
    most = [c for c in classes if c.key in _USUALLY_PAID_MOST]
    least = [c for c in classes if c.key in _USUALLY_PAID_LEAST]
    turned = [(high, low) for high in most for low in least if high.plan_pays_percent < low.plan_pays_percent]
    if turned:
        high, low = turned[0]
        said = {"high": high.key, "high_pays": high.plan_pays_percent, "high_meant": 100 - high.plan_pays_percent}
        said |= {"low": low.key, "low_pays": low.plan_pays_percent, "low_meant": 100 - low.plan_pays_percent}
        fields.add_problem("classes", "plans.turned_round", label=PLAN.get_field("percentages_checked").label, **said)
