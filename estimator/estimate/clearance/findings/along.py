"""Room along the bar: how sure it is that every planned attachment has a place. [mm]"""

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.along import AlongBar
from estimator.estimate.clearance.layers import LayerFinding, find_layer_state
from estimator.inputs.reference.layers import LayerState


def find_along(along: AlongBar | None, evidence: Evidence) -> LayerFinding:
    """Room for so many of those planned, with the chance that all have a place; a bar without any asks for none."""
    if along is None or not along.attachments:
        return LayerFinding(state=LayerState.NOT_ASKED)
    counted = along.counted
    if counted is None:
        return LayerFinding(state=LayerState.NOT_MEASURED)
    state = find_layer_state(counted.chance_usual, counted.chance_least, float(evidence.get("fit_level").value))
    return LayerFinding(
        state=state,
        special="lowered" if state is not LayerState.NOT_ENOUGH and along.lowered_from else "",
        chance_usual=counted.chance_usual,
        chance_least=counted.chance_least,
        short_mm=along.shortage_mm,
        values=(
            ("places", min(counted.usual_places, along.attachments)), ("planned", along.attachments),
            ("usual_number", along.lowered_from or along.attachments),
        ),
    )  # fmt: skip
