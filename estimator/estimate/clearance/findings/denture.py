"""The present denture: whether it is thick enough at every site for the parts that stand there. [mm]"""

import math
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.chance.jaw import chance_at_site
from estimator.estimate.clearance.conversion import ConversionCheck, Thickness, find_thickness_error
from estimator.estimate.clearance.layers import LayerFinding, find_layer_state
from estimator.inputs.reference.layers import LayerState


def find_denture(check: ConversionCheck | None, implants: int, evidence: Evidence) -> LayerFinding:
    """Each site against its own parts, with the errors of thickness and tissue; those of the sites are independent.

    Sites that are not measured leave a denture that is too thin at the others too thin.
    """
    if check is None:
        return LayerFinding(state=LayerState.NOT_ASKED)
    known = [(site, site.thickness_mm) for site in check.sites if site.thickness_mm is not None]
    missing = [site.tooth for site in check.sites if site.thickness_mm is None]
    unmeasured = (("teeth", ", ".join(missing) or "each implant"),)
    if not known:
        return LayerFinding(state=LayerState.NOT_MEASURED, values=unmeasured)
    sd = find_thickness_error(evidence)
    usual = math.prod(chance_at_site(float(there - site.usual_mm), sd) for site, there in known)
    least = math.prod(chance_at_site(float(there - site.needed_mm), sd) for site, there in known)
    state = find_layer_state(usual, least, float(evidence.get("fit_level").value))
    if state is not LayerState.NOT_ENOUGH and len(known) < implants:
        return LayerFinding(state=LayerState.NOT_MEASURED, values=unmeasured)
    site, there = min(known, key=lambda one: one[1] - one[0].needed_mm)
    needed = site.needed_mm if state is LayerState.NOT_ENOUGH else site.usual_mm
    return LayerFinding(
        state=state,
        special="together" if state is LayerState.NOT_ENOUGH and not site.shortage_mm else "",
        chance_usual=usual,
        chance_least=least,
        margin_mm=there - site.usual_mm,
        short_mm=site.shortage_mm,
        site=site.tooth,
        values=_say_site(site, there, needed),
    )


def _say_site(site: Thickness, there: Decimal, needed: Decimal) -> tuple[tuple[str, object], ...]:
    left = max(Decimal(0), there - site.usual_mm + site.resin_mm)
    return (
        ("site", site.tooth), ("thickness_mm", there), ("needed_mm", needed),
        ("short_mm", site.shortage_mm), ("left_mm", left),
    )  # fmt: skip
