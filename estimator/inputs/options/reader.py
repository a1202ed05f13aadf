"""A TOML document becomes an Option, or the whole list of its problems."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from estimator.base.evidence import Evidence, Figure, HowSure
from estimator.base.fields import Fields
from estimator.base.problems import InputError, Problem, offer_names
from estimator.inputs.case.model import MOST_IMPLANTS, Arch, find_repeated
from estimator.inputs.options.model import (
    Attachments,
    Conversion,
    Option,
    PartRole,
    Per,
    Removal,
    Renewal,
    StackPart,
    Teeth,
    UpkeepItem,
)
from estimator.inputs.options.steps import ROUTES, read_charges, read_step, read_visit

_NAME = "line.name"


def read_option(document: Mapping[str, Any], *, file: str, evidence: Evidence) -> Option:
    """An option from a parsed TOML document. A number is a figure's key, or a table of its own with source.

    Raises InputError with every problem of the document.
    """
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    reader = _OptionReader(fields.read_key("key"), evidence)
    option = Option(
        key=reader.option,
        name=fields.read_line("name", code=_NAME, required=True, longest=60),
        patient_name=fields.read_line("patient_name", code=_NAME, required=True, longest=60),
        attachments=fields.read_choice("attachments", Attachments),
        least_implants=fields.read_whole("least_implants", 0, MOST_IMPLANTS, default=0),
        conversion=reader.read_conversion(fields),
        stack=tuple(reader.read_part(t) for t in fields.read_tables("stack")),
        visits=tuple(read_visit(t) for t in fields.read_tables("visits")),
        charges=read_charges(fields),
        upkeep=tuple(reader.read_item(t) for t in fields.read_tables("upkeep")),
        renewal=reader.read_renewal(fields),
        recall_fee=fields.read_line("recall_fee", code="options.fee_key"),
        healing_weeks=fields.read_decimal("healing_weeks", 0, 104, code="number.healing_weeks", example="10"),
        removal=_read_removal(fields),
    )
    _check_whole(fields, option)
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return option


def _read_removal(fields: Fields) -> Removal | None:
    """The appointment at which remaining teeth are removed, if it is one of its own."""
    table = fields.read_table("removal")
    if table is None:
        return None
    before, words = table.read_texts("before"), table.read_texts("routes", ROUTES) or tuple(ROUTES)
    weeks = table.read_decimal("heals_weeks", 0, 104, code="number.healing_weeks", example="8")
    if not before:
        table.add_problem("before", "options.waits")
    return Removal(
        step=read_step(table, {}),
        before=before,
        heals_weeks=weeks or Decimal(0),
        routes=tuple(dict.fromkeys(route for word in words for route in ROUTES[word])),
    )


def _check_whole(fields: Fields, option: Option) -> None:
    if not option.stack:
        fields.add_problem("stack", "options.no_part")
    if sum(part.role is PartRole.COLLAR for part in option.stack) > 1:
        fields.add_problem("stack", "options.collars")
    if not any(step.teeth is Teeth.FINAL for step in option.visits):
        fields.add_problem("visits", "options.final_visit")
    for key in find_repeated(step.key for step in option.visits):
        fields.add_problem("visits", "options.visit_twice", found=key)
    keys = [item.key for item in option.upkeep]
    if option.renewal and option.renewal.settles_like and option.renewal.settles_like not in keys:
        wrong = option.renewal.settles_like
        fields.add_problem("renewal.settles_like", "known", found=wrong, **offer_names(wrong, keys))


class _OptionReader:
    """Reads the tables of one option; knows its key and the evidence that figures are named in."""

    def __init__(self, option: str, evidence: Evidence) -> None:
        self.option, self.evidence = option, evidence

    def read_conversion(self, fields: Fields) -> Conversion:
        table = fields.read_table("conversion")
        if table is None:
            return Conversion(possible=False, name="", patient_name="", reason="")
        possible = table.read_flag("possible", default=False)
        conversion = Conversion(
            possible=possible,
            name=table.read_line("name", code=_NAME, required=possible, longest=60),
            patient_name=table.read_line("patient_name", code=_NAME, required=possible, longest=60),
            reason=table.read_line("reason", code="options.sentence", required=not possible, longest=200),
        )
        table.refuse_others()
        return conversion

    def read_part(self, table: Fields) -> StackPart:
        key = table.read_key("key")
        name = table.read_line("name", code=_NAME, required=True, longest=60)
        figure = self.read_figure(table, "height", name=name, key=key, unit="mm")
        part = StackPart(
            key=key,
            name=name,
            patient_name=table.read_line("patient_name", code=_NAME, longest=60) or name,
            figure=figure,
            role=table.read_choice("role", PartRole, default=PartRole.OTHER),
        )
        table.refuse_others()
        return part

    def read_item(self, table: Fields) -> UpkeepItem:
        key = table.read_key("key")
        label = table.read_line("label", code=_NAME, required=True, longest=80)
        later = self.read_figure(table, "later", name=label, key=f"{key}_later", unit="per year")
        arch = table.read_choice("arch", Arch) if "arch" in table else None
        item = UpkeepItem(
            key=key,
            label=label,
            patient_label=table.read_line("patient_label", code=_NAME, longest=80) or label,
            per=table.read_choice("per", Per, default=Per.JAW),
            first_year=self.read_figure(table, "first_year", name=label, key=f"{key}_first_year", unit="per year")
            if "first_year" in table else later,
            later=later,
            charges=read_charges(table),
            arch=arch,
            implants_from=table.read_whole("implants_from", 0, 99, default=0),
            implants_to=table.read_whole("implants_to", 0, 99, default=99),
            trips=self.read_trips(table, label, f"{key}_trips"),
        )  # fmt: skip
        table.refuse_others()
        return item

    def read_renewal(self, fields: Fields) -> Renewal | None:
        table = fields.read_table("renewal")
        if table is None:
            return None
        label = table.read_line("label", code=_NAME, required=True, longest=80)
        renewal = Renewal(
            label=label,
            patient_label=table.read_line("patient_label", code=_NAME, longest=80) or label,
            mean_life=self.read_figure(table, "mean_life", name="Denture life", key="mean_life", unit="years"),
            shape=self.read_figure(
                table, "shape", name="Spread of denture life", key="life_shape", unit="Weibull shape"
            ),
            charges=read_charges(table),
            settles_like=table.read_line("settles_like", code="options.upkeep_key"),
            trips=self.read_trips(table, label, "renewal_trips"),
        )
        table.refuse_others()
        return renewal

    def read_trips(self, table: Fields, label: str, key: str) -> Figure | None:
        if "trips" not in table:
            return None
        return self.read_figure(table, "trips", name=f"Trips: {label}", key=key, unit="trips")

    def read_figure(self, table: Fields, field: str, *, name: str, key: str, unit: str) -> Figure:
        """The figure that a field names, or one written out in the file itself with its source."""
        value = table.get_raw(field)
        if isinstance(value, str) and value in self.evidence.figures:
            return self.evidence.get(value)
        own = table.read_table(field) if isinstance(value, dict) else None
        if own is None:
            table.add_problem(field, "options.figure")
            return _blank_figure(key, name, unit)
        return self.read_own_figure(own, name=name, key=f"{self.option}_{key}", unit=unit)

    def read_own_figure(self, own: Fields, *, name: str, key: str, unit: str) -> Figure:
        numbers = {}
        for word in ("low", "value", "high"):
            number = own.read_decimal(word, 0, 1000, code="number.figure", example="2.25", unit=unit)
            if number is None and word not in own:
                own.add_problem(word, "number.figure", unit=unit, example="2.25")
            numbers[word] = number or Decimal(0)
        if not numbers["low"] <= numbers["value"] <= numbers["high"]:
            own.add_problem("value", "options.order")
        figure = Figure(
            key=key, name=name, unit=unit, place="",
            low=numbers["low"], value=numbers["value"], high=numbers["high"],
            source=own.read_line("source", code="line.source", required=True),
            how_sure=own.read_choice("how_sure", HowSure),
        )  # fmt: skip
        own.refuse_others()
        return figure


def _blank_figure(key: str, name: str, unit: str) -> Figure:
    """Stands in while problems are collected; never leaves the reader."""
    zero = Decimal(0)
    return Figure(
        key=key, name=name, unit=unit, low=zero, value=zero, high=zero, source="", place="", how_sure=HowSure.MEMORY
    )
