"""Width: the room in the denture from cheek to tongue, for the housing of an attachment. [mm]"""

import math
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.chance.jaw import chance_at_site
from estimator.estimate.clearance.layers import LayerFinding, find_layer_state
from estimator.inputs.case.model import Jaw
from estimator.inputs.options.model import Option
from estimator.inputs.reference.layers import LayerState


def judge_width(jaw: Jaw, option: Option, evidence: Evidence) -> LayerFinding:
    """Each measured site against one housing, their errors independent; a site too narrow stands without the others."""
    if not option.on_implants:
        return LayerFinding(state=LayerState.NOT_ASKED)
    widths = {site.tooth: site.width_mm for site in jaw.sites if site.width_mm is not None}
    if not widths:
        return LayerFinding(state=LayerState.NOT_MEASURED)
    housing, sd = evidence.get("housing_width"), float(evidence.get("width_error").value)
    usual = math.prod(chance_at_site(float(width - housing.value), sd) for width in widths.values())
    least = math.prod(chance_at_site(float(width - housing.low), sd) for width in widths.values())
    state = find_layer_state(usual, least, float(evidence.get("fit_level").value))
    if state is not LayerState.NOT_ENOUGH and len(widths) < jaw.implants:
        return LayerFinding(state=LayerState.NOT_MEASURED)
    site, width = min(widths.items(), key=lambda one: one[1])
    short = max(Decimal(0), housing.low - width)
    return LayerFinding(
        state=state,
        special="together" if state is LayerState.NOT_ENOUGH and not short else "",
        chance_usual=usual,
        chance_least=least,
        margin_mm=width - housing.value,
        short_mm=short,
        site=site,
        values=(
            ("site", site), ("width_mm", width), ("short_mm", short), ("usual_mm", housing.value),
            ("least_mm", housing.low),
        ),
    )  # fmt: skip
