"""Proposal: everything that is chosen for one patient beside the case itself."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING

from estimator.inputs.case.model import Arch, Case
from estimator.inputs.payment.model import Adjustment, Way

if TYPE_CHECKING:
    from estimator.inputs.plans.model import BenefitPlan
    from estimator.inputs.plans.predetermination import PlanAnswer

USUAL_YEARS = 10
MOST_YEARS = 30


class HelpState(StrEnum):
    """What is known of a benefit plan: nothing is taken off before it is known."""

    NOT_ASKED = "not_asked"
    NONE = "none"
    KNOWN = "known"


class Edition(StrEnum):
    """How large the patient's papers are printed."""

    NORMAL = "normal"
    LARGE = "large"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanHelp:
    """Help from benefit plans: the first and perhaps a second one, each with how this patient stands in it.

    `answer` is what a plan decided when it was asked; `counted` puts it in place of the estimate.
    """

    state: HelpState = HelpState.NOT_ASKED
    plans: "tuple[BenefitPlan, ...]" = ()
    answer: "PlanAnswer | None" = None
    counted: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A case and what is offered for it. `chosen` has the option of each jaw that is decided; the others are open.

    `ways` None are the practice's usual ones; an empty `language` and no `edition` are the patient's own. `set_aside`
    are the options that stand behind the others because the patient does not want them. `start_on` is the day of the
    first visit, `years` how far ahead is looked.
    """

    case: Case
    chosen: tuple[tuple[Arch, str], ...] = ()
    adjustments: tuple[Adjustment, ...] = ()
    ways: tuple[Way, ...] | None = None
    help: PlanHelp = PlanHelp()
    start_on: date | None = None
    years: int = USUAL_YEARS
    language: str = ""
    edition: Edition | None = None
    set_aside: tuple[str, ...] = ()

    def find_chosen(self, arch: Arch) -> str:
        """The option chosen for a jaw, empty while it is open."""
        return dict(self.chosen).get(arch, "")

    @property
    def reads_large(self) -> bool:
        """Whether papers for the patient are printed large: as chosen here, else as the patient reads."""
        return self.case.patient.large_print if self.edition is None else self.edition is Edition.LARGE
