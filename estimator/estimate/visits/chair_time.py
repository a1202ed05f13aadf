"""Chair time of the denture beside published chair times. Surgery is in none of them, nor is it in ours here."""

from dataclasses import dataclass
from enum import StrEnum

from estimator.base.evidence import Evidence, Figure
from estimator.estimate.visits.appointments import VisitPlan
from estimator.inputs.case.model import DenturePlan, Jaw
from estimator.inputs.options.model import Option

_DENTURE = ("chair_denture_takanashi", "chair_denture_hobkirk", "chair_denture_muehlemann")
_OVERDENTURE = ("chair_overdenture_takanashi", "chair_overdenture_hobkirk")


class Beside(StrEnum):
    """Where the practice's own minutes lie beside the published ones."""

    LESS = "less"
    WITHIN = "within"
    MORE = "more"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChairTimeCheck:
    """Minutes of the visits that are not surgical, beside what studies measured."""

    minutes: int
    published: tuple[Figure, ...]

    @property
    def finding(self) -> Beside:
        """Less or more than all of them, or within; the ends are within."""
        if self.minutes < min(figure.low for figure in self.published):
            return Beside.LESS
        return Beside.MORE if self.minutes > max(figure.high for figure in self.published) else Beside.WITHIN


def check_chair_time(jaw: Jaw, option: Option, plan: VisitPlan, evidence: Evidence) -> ChairTimeCheck | None:
    """The check of one option; None where a present denture is kept, which no study here timed."""
    if jaw.denture is DenturePlan.CONVERT and option.conversion.possible:
        return None
    keys = _OVERDENTURE if option.on_implants else _DENTURE
    return ChairTimeCheck(minutes=plan.denture_min, published=tuple(evidence.get(key) for key in keys))
