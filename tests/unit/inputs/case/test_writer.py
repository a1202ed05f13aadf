"""A case written and read again is the same case."""

from datetime import date
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from estimator.files import load_variants
from estimator.files.user.data_folder import read_case_text, write_proposal_text
from estimator.inputs.case.model import (
    Arch,
    Case,
    DenturePlan,
    Earlier,
    Jaw,
    Landmark,
    Measurement,
    Method,
    Opposing,
    Patient,
    Placement,
    PresentDenture,
    Retention,
    Site,
    is_left,
    list_teeth,
)
from estimator.proposal.model import Proposal
from tests.builders import TODAY

# The last two exclude each other, and one of them needs teeth that are still to be removed.
APART = ("immediate_denture", "interim_denture")
LISTED = [*sorted(set(load_variants()) - {"graft", *APART}), *APART]
lengths = st.none() | st.decimals(min_value=0, max_value=10, places=2)
maybe = st.none() | st.booleans()
EARLIER = {
    arch: Earlier(
        measured_on=date(2026, 9, 1), implants_present=False,
        measurement=Measurement(method=Method.CONE_BEAM_CT, landmark=Landmark.BONE_CREST),
        sites=(Site(tooth=list_teeth(arch)[0], restorative_space_mm=Decimal(12)),),
    )
    for arch in Arch
}  # fmt: skip
angles = st.none() | st.decimals(min_value=-60, max_value=60, places=1)


@st.composite
def jaws(draw: st.DrawFn, arch: Arch) -> Jaw:
    implants = draw(st.integers(1, 8))
    teeth = draw(st.lists(st.sampled_from(list_teeth(arch)), max_size=implants, unique=True))
    present = draw(st.booleans())
    method = draw(st.sampled_from(list(Method)))
    bone = method is Method.CONE_BEAM_CT
    landmark = Landmark.PLATFORM if present else Landmark.BONE_CREST if bone else Landmark.SOFT_TISSUE_CREST
    convert = draw(st.booleans())
    return Jaw(
        arch=arch,
        implants=implants,
        opposing=draw(st.sampled_from(list(Opposing))),
        implants_present=present,
        attachments_on_bar=draw(st.integers(0, 6)),
        denture=DenturePlan.CONVERT if convert else DenturePlan.NEW,
        placement=draw(st.sampled_from(list(Placement))),
        extractions=0 if convert else draw(st.integers(1, 16)),
        variants=tuple(draw(st.lists(st.sampled_from(LISTED[:-2] if convert else LISTED[:-1]), unique=True))),
        graft_sites=draw(st.integers(0, 8)),
        retention=draw(st.sampled_from(list(Retention))),
        measurement=Measurement(
            method=method, landmark=landmark, set_up_accepted=draw(st.booleans()), error_mm=draw(st.none() | st.just(Decimal("0.75")))
        ),
        ridge_to_ridge_mm=draw(lengths),
        abutment_heights_mm=draw(st.sampled_from([(), (Decimal(2), Decimal("3.5"))])),
        present_denture=PresentDenture(base_stable=draw(maybe), tall_attachments=draw(maybe)),
        earlier=draw(st.none() | st.just(EARLIER[arch])),
        sites=tuple(
            Site(
                tooth=tooth, denture_thickness_mm=draw(lengths), restorative_space_mm=draw(lengths), tissue_mm=draw(lengths), width_mm=draw(lengths),
                angle_md_deg=draw(angles), angle_fl_deg=draw(angles),
                position_mm=draw(st.none() | st.just(Decimal("-9.5") if is_left(tooth) else Decimal("9.5"))),
            )
            for tooth in teeth
        ),
    )  # fmt: skip


@given(
    jaws(Arch.MANDIBLE),
    st.none() | jaws(Arch.MAXILLA),
    st.sampled_from(["", "Nguyễn Thị Ánh", 'a "quoted" \\ name', "أحمد"]),
)
def test_a_case_survives_its_own_file(lower: Jaw, upper: Jaw | None, name: str) -> None:
    both = (lower,) if upper is None else (lower, upper)
    case = Case(reference="C-1", jaws=both, health=("smoking",), patient=Patient(name=name, born=date(1951, 5, 2)))
    assert read_case_text(write_proposal_text(Proposal(case=case)), "case.toml", today=TODAY) == case
