"""Comparison rows become the rows of the three pictures: names, findings and numbers in the words of either reader."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.base.formats import find_number_signs, format_amount, format_count, format_mm
from estimator.base.money import round_money
from estimator.estimate.clearance.layers import say_finding
from estimator.estimate.clearance.verdict import Clearance, Verdict
from estimator.estimate.compare import ComparisonRow
from estimator.inputs.reference.wording import Wording
from estimator.pictures.base.rows import KeyWords
from estimator.pictures.options.money import MoneyRow
from estimator.pictures.options.room import RoomRow
from estimator.pictures.options.time import TimeRow


class RowWriter:
    """Writes findings for one reader: the office, or the patient."""

    def __init__(self, wording: Wording, *, patient: bool, locale: str = "en_US", step: Decimal = Decimal(1)) -> None:
        self.wording, self.patient, self.locale, self.step = wording, patient, locale, step
        self._reader = "patient" if patient else "office"

    def name(self, row: ComparisonRow) -> str:
        """The option's name for this reader."""
        return row.patient_name if self.patient else row.name

    def say(self, topic: str, **values: object) -> str:
        """A text of words.toml for this reader."""
        kind, _, rest = topic.partition(".")
        suffix = f"_{rest}" if rest else ""
        return self.wording.say(f"words.{kind}.{self._reader}{suffix}", **values)

    def say_count(self, topic: str, number: int | Decimal, **values: object) -> str:
        """A text of words.toml for this reader, in the form that a number takes."""
        kind, _, rest = topic.partition(".")
        suffix = f"_{rest}" if rest else ""
        return self.wording.say(self.wording.choose_plural(f"words.{kind}.{self._reader}{suffix}", number), **values)

    def money(self, amount: Decimal) -> str:
        """A price without decimals."""
        return format_amount(amount, self.locale)

    def about(self, amount: Decimal) -> str:
        """An estimate, rounded so that it does not look surer than it is."""
        return format_amount(round_money(amount / self.step, Decimal(1)) * self.step, self.locale)

    def length(self, length: Decimal) -> str:
        """A length; short for the patient."""
        return format_mm(length, self.locale, short=self.patient)

    def find_room(self, row: ComparisonRow) -> str:
        """The verdict in one line, as the layer that decides says it."""
        if row.reason:
            return self.say("not_applicable", reason=row.reason)
        if row.clearance is None:
            return self.say("room.none")
        return say_finding(row.clearance.layers, patient=self.patient)

    def room_row(self, row: ComparisonRow) -> RoomRow:
        """A row under the millimetre ruler."""
        clearance = row.clearance
        if clearance is None:
            return RoomRow(name=self.name(row), finding=self.find_room(row))
        return RoomRow(
            name=self.name(row),
            finding=self.find_room(row),
            verdict=clearance.verdict.value,
            least_mm=clearance.least_mm,
            usual_mm=clearance.required_mm,
            room_mm=clearance.space_mm,
        )

    def time_row(self, row: ComparisonRow) -> TimeRow:
        """A row under the calendar."""
        if row.weeks_to_teeth is None:
            finding = self.say("not_applicable", reason=row.reason) if row.reason else self.say("time.none")
            return TimeRow(name=self.name(row), finding=finding)
        week = format_count(row.weeks_to_teeth, self.locale)
        return TimeRow(
            name=self.name(row),
            finding=self.say_count("time", row.trips, trips=row.trips, week=week),
            foot=self.without_teeth(row.weeks_without_teeth or Decimal(0)),
            trips_week=tuple(float(week) for week in row.trip_weeks),
            teeth_week=float(row.weeks_to_teeth),
        )

    def without_teeth(self, weeks: Decimal) -> str:
        """How long without teeth."""
        shown = format_count(weeks, self.locale)
        if weeks == 0 and self.patient:
            return self.say("time.foot_none")
        return self.say_count("time.foot", weeks.normalize(), weeks=shown)

    def money_row(self, row: ComparisonRow) -> MoneyRow:
        """A row under the money axis; the price of an option without room stays, set back."""
        if row.first_cost is None:
            return MoneyRow(name=self.name(row), finding=self.say("not_applicable", reason=row.reason))
        if row.upkeep is None or row.total is None:
            return MoneyRow(
                name=self.name(row),
                finding=self.say("money.none"),
                foot=self.say("money.none_foot"),
                first=row.first_cost,
            )
        low, expected, high = (self.about(amount) for amount in row.upkeep)
        total_low, total, total_high = (self.about(amount) for amount in row.total)
        return MoneyRow(
            name=self.name(row),
            finding=self.say("money", first=self.money(row.first_cost), upkeep=expected, low=low, high=high),
            foot=self.say("money.foot", total=total, total_low=total_low, total_high=total_high),
            first=row.first_cost,
            total=row.total,
            set_aside=row.clearance is not None and row.clearance.verdict is Verdict.DOES_NOT_FIT,
        )

    def key_words(self) -> KeyWords:
        """The words of the rulers and of the key under each picture."""
        if not self.patient:
            return KeyWords()
        fields = ("room_axis", "room", "least", "usual", "left_over", "error", "time_axis", "trip", "teeth", "first",
                  "upkeep", "chances")  # fmt: skip
        words = {f: self.wording.get(f"words.key.patient_{f}") for f in fields}
        decimal, thousands = find_number_signs(self.locale)
        return KeyWords(**words, decimal=decimal, thousands=thousands, short_numbers=True)


def find_measured(rows: Sequence[ComparisonRow]) -> Clearance | None:
    """The clearance with the least room, if any was measured; an option with collars may be limited at another site."""
    measured = [row.clearance for row in rows if row.clearance and row.clearance.space_mm is not None]
    return min(measured, key=lambda clearance: clearance.space_mm or Decimal(0), default=None)
