"""Height: the room at every site against the stack of parts that stands there. [mm]"""

from collections.abc import Sequence
from decimal import Decimal

from estimator.estimate.clearance.layers import LayerFinding, find_layer_state
from estimator.estimate.clearance.sites import SiteCheck, find_limiting
from estimator.inputs.reference.layers import LayerState


def find_height(
    checks: Sequence[SiteCheck], implants: int, chances: tuple[float, float], level: float, usual_mm: Decimal
) -> LayerFinding:
    """Sites without room decide before the others are measured; with sites unmeasured nothing else can be said.

    `chances` are those of the usual and of the least stack; `usual_mm` is the usual stack where nothing is measured.
    """
    if not checks:
        return LayerFinding(state=LayerState.NOT_MEASURED, values=(("usual_mm", usual_mm),))
    usual, least = chances
    limiting, state = find_limiting(checks), find_layer_state(usual, least, level)
    if state is not LayerState.NOT_ENOUGH and len(checks) < implants:
        return LayerFinding(state=LayerState.NOT_MEASURED, values=(("usual_mm", limiting.stack.usual_mm),))
    return LayerFinding(
        state=state,
        special="together" if state is LayerState.NOT_ENOUGH and not limiting.shortage_mm else "",
        chance_usual=usual,
        chance_least=least,
        margin_mm=limiting.margin_mm,
        short_mm=limiting.shortage_mm,
        site=limiting.tooth,
        values=(
            ("site", limiting.tooth), ("space_mm", limiting.room_mm), ("short_mm", limiting.shortage_mm),
            ("over_mm", max(Decimal(0), limiting.margin_mm)),
            ("usual_mm", limiting.stack.usual_mm), ("least_mm", limiting.stack.least_mm),
        ),
    )  # fmt: skip
