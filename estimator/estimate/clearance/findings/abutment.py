"""Abutments: whether a listed height serves every site."""

from estimator.estimate.clearance.abutment_heights import name_unserved
from estimator.estimate.clearance.abutment_levels import Levels
from estimator.estimate.clearance.layers import LayerFinding
from estimator.inputs.options.model import Option
from estimator.inputs.reference.layers import LayerState


def find_abutment(option: Option, levels: Levels | None, implants: int) -> LayerFinding:
    """A site that no listed height serves rules out: a part that does not exist cannot be fitted."""
    if option.collar is None:
        return LayerFinding(state=LayerState.NOT_ASKED)
    if levels is not None and levels.unserved:
        values = (("sites", ", ".join(levels.unserved)), ("reasons", name_unserved(levels)))
        return LayerFinding(state=LayerState.NOT_ENOUGH, site=levels.unserved[0], values=values)
    unknown = levels.unknown if levels else ()
    if levels is None or unknown or len(levels.chosen) < implants:
        return LayerFinding(state=LayerState.NOT_MEASURED, values=(("teeth", ", ".join(unknown) or "each implant"),))
    return LayerFinding(state=LayerState.ROOM)
