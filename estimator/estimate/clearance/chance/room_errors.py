"""What may be wrong with the rooms of a jaw: the method, and with the teeth not tried in yet also bite and plane. [mm]

The height of the bite and the place of the occlusal plane stay open until the set-up of the teeth is accepted.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.chance.jaw import find_bite_lever
from estimator.inputs.case.model import Arch, Case, Jaw

OPEN_SET_UP = ("bite_height_error", "hinge_distance")
OPEN_SET_UPS = (*OPEN_SET_UP, "bite_share_both_open", "plane_error")
"""Figures of one set-up that is not accepted, and of two that face each other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomErrors:
    """Standard deviations of the rooms of a jaw [mm]: of the method, of the bite by tooth, of the occlusal plane.

    That of the plane is negative in the jaw that loses what the other one gains. Both are 0 with an accepted set-up.
    """

    method_mm: Decimal
    bite_mm: Mapping[str, float] = field(default_factory=dict)
    plane_mm: float = 0.0


def find_error(jaw: Jaw, evidence: Evidence) -> Decimal:
    """One standard deviation of the measurement of a jaw [mm]: as entered, or the assumption for the method."""
    if jaw.measurement is None:
        raise ValueError("'measurement' must be there to have an error (got nothing)")
    if jaw.measurement.error_mm is not None:
        return jaw.measurement.error_mm
    return evidence.get(f"error_{jaw.measurement.method}").value


def find_room_errors(case: Case, jaw: Jaw, depths_mm: Mapping[str, float], evidence: Evidence) -> RoomErrors:
    """The errors of the rooms of a measured jaw; `depths_mm` is how far each tooth is behind the front of the crest.

    A tooth whose place is not known counts as in front, where the bite moves most. Raises ValueError without a
    measurement.
    """
    method = find_error(jaw, evidence)
    if is_set_up_accepted(jaw):
        return RoomErrors(method_mm=method)
    both = face_open_set_ups(case, jaw)
    share = float(evidence.get("bite_share_both_open").value) if both else 1.0
    bite, hinge = (float(evidence.get(key).value) for key in OPEN_SET_UP)
    plane = float(evidence.get("plane_error").value) if both else 0.0
    return RoomErrors(
        method_mm=method,
        bite_mm={
            site.tooth: bite * find_bite_lever(depths_mm.get(site.tooth, 0.0), share=share, hinge_distance_mm=hinge)
            for site in jaw.sites
        },
        plane_mm=plane if jaw.arch is Arch.MAXILLA else -plane,
    )


def is_set_up_accepted(jaw: Jaw) -> bool:
    """Whether the teeth of a jaw were tried in and accepted when it was measured."""
    return jaw.measurement is not None and jaw.measurement.set_up_accepted


def face_open_set_ups(case: Case, jaw: Jaw) -> bool:
    """Whether the other jaw is in the case too, and neither set-up is accepted: then the plane between may move.

    Teeth, a fixed bridge or a denture that stays in the other jaw settle the plane.
    """
    other = next((one for one in case.jaws if one.arch is not jaw.arch), None)
    return other is not None and not is_set_up_accepted(other) and not is_set_up_accepted(jaw)
