"""A case at the prices of another version: each option before and after, without looking ahead."""

from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.estimate.cost.charges import price_option
from estimator.estimate.look_ahead import plan_upkeep
from estimator.estimate.result import explain_not_applicable
from estimator.estimate.variants import apply_variants
from estimator.inputs.case.model import Arch, Case, Jaw
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.options.model import Option
from estimator.inputs.practice_bundle import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class TotalChange:
    """First cost of an option in a jaw, before and after; `upkeep_changes` where a later fee is another one."""

    arch: Arch
    option: str
    name: str
    before: Decimal
    after: Decimal
    upkeep_changes: bool

    @property
    def difference(self) -> Decimal:
        """What the new version adds."""
        return self.after - self.before

    @property
    def is_changed(self) -> bool:
        """Whether anything of this option costs something else."""
        return self.before != self.after or self.upkeep_changes


def compare_option_totals(case: Case, practice: Practice, new: FeeSchedule) -> tuple[TotalChange, ...]:
    """Every option that applies, jaw by jaw. `new` must hold every line that the options charge."""
    new = replace(new, tax=practice.fees.tax)
    return tuple(
        _compare(jaw, apply_variants(option, jaw, practice.variants), practice.fees, new)
        for jaw in case.jaws
        for option in practice.options
        if explain_not_applicable(option, jaw) is None
    )


def _compare(jaw: Jaw, option: Option, old: FeeSchedule, new: FeeSchedule) -> TotalChange:
    return TotalChange(
        arch=jaw.arch,
        option=option.key,
        name=option.name_in(jaw),
        before=price_option(jaw, option, old).total,
        after=price_option(jaw, option, new).total,
        upkeep_changes=plan_upkeep(jaw, option, old) != plan_upkeep(jaw, option, new),
    )
