"""The common path of insertion: by how many degrees the implant farthest from the best one is off. [degrees]"""

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.geometry.placed import PlacedJaw
from estimator.estimate.clearance.layers import LayerFinding
from estimator.inputs.case.model import Arch, Jaw
from estimator.inputs.options.model import Attachments, Option
from estimator.inputs.reference.layers import LayerState

_NEAR_DEG = 1e-9


def find_path(jaw: Jaw, option: Option, placed: PlacedJaw, evidence: Evidence) -> LayerFinding:
    """Within the advised lean there is room, within what parts for leaning implants take it is close.

    Leans that are not known can only widen the cone, so that one too wide already stands.
    """
    if option.attachments is not Attachments.ON_IMPLANTS:
        return LayerFinding(state=LayerState.NOT_ASKED)
    advised, parts = evidence.get("lean_limit").value, evidence.get("lean_parts_limit").value
    path = placed.path
    site = placed.find_off_path(path) if path else ""
    cone = path.cone_deg if path else 0.0
    values = (
        ("angle", f"{cone:.1f}"), ("limit", f"{advised:f}"), ("most", f"{parts:f}"), ("site", site),
    )  # fmt: skip
    if cone > float(parts) + _NEAR_DEG:
        return LayerFinding(state=LayerState.NOT_ENOUGH, site=site, values=values)
    if path is None or len(placed.leaning) < jaw.implants:
        return LayerFinding(state=LayerState.NOT_MEASURED)
    if cone <= float(advised) + _NEAR_DEG:
        return LayerFinding(state=LayerState.ROOM, site=site, values=values)
    special = "upper" if jaw.arch is Arch.MAXILLA else ""
    return LayerFinding(state=LayerState.CLOSE, special=special, site=site, values=values)
