"""The number of implants: what an option cannot do without, and what the consensus of a jaw asks."""

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.layers import LayerFinding
from estimator.inputs.case.model import Arch, Jaw
from estimator.inputs.options.model import Attachments, Option
from estimator.inputs.reference.layers import LayerState


def find_number(jaw: Jaw, option: Option, evidence: Evidence) -> LayerFinding:
    """Fewer than the consensus is close; a bar in an upper jaw is ruled out there, unless the clinician accepts it."""
    if not option.on_implants:
        return LayerFinding(state=LayerState.NOT_ASKED)
    if jaw.implants < option.least_implants:
        values = (("implants", jaw.implants), ("least", f"{option.least_implants}"))
        return LayerFinding(state=LayerState.NOT_ENOUGH, values=values)
    consensus = evidence.get(f"implants_minimum_{jaw.arch}").value
    values = (("implants", jaw.implants), ("least", f"{consensus:f}"))
    if jaw.implants >= consensus:
        return LayerFinding(state=LayerState.ROOM, values=values)
    if jaw.arch is Arch.MAXILLA and option.attachments is Attachments.ON_BAR:
        if not jaw.few_implants_accepted:
            return LayerFinding(state=LayerState.NOT_ENOUGH, special="bar", values=values)
        return LayerFinding(state=LayerState.CLOSE, special="accepted", values=values)
    return LayerFinding(state=LayerState.CLOSE, values=values)
