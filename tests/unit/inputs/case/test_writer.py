"""A case written and read again is the same case."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from estimator.files import load_variants
from estimator.files.user.data_folder import read_case_text, write_proposal_text
from estimator.inputs.case.model import (
    Arch,
    ArchForm,
    BarCarries,
    BarForm,
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
FORMS = (
    ArchForm(), ArchForm(width_mm=Decimal("48.5")),
    ArchForm(canine_half_width_mm=Decimal(13), canine_depth_mm=Decimal(5), molar_half_width_mm=Decimal(25), molar_depth_mm=Decimal(24)),
)  # fmt: skip
extensions = st.sampled_from([Decimal(0), Decimal("9.5")])
depths = st.none() | st.decimals(min_value=-5, max_value=5, places=2)
angles = st.none() | st.decimals(min_value=-60, max_value=60, places=1)


def list_places(tooth: str) -> list[dict[str, Decimal]]:
    x = Decimal("-9.5") if is_left(tooth) else Decimal("9.5")
    return [{}, {"position_mm": x}, {"x_mm": x, "y_mm": Decimal(2)}]


@st.composite
def jaws(draw: st.DrawFn, arch: Arch) -> Jaw:
    implants = draw(st.integers(0, 8))
    teeth = draw(st.lists(st.sampled_from(list_teeth(arch)), max_size=max(implants, 1), unique=True))
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
        attachments_on_bar=draw(st.none() | st.integers(0, 6)),
        bar_carries=draw(st.sampled_from(list(BarCarries))),
        bar_form=draw(st.none() | st.sampled_from(list(BarForm))),
        bar_extension_right_mm=draw(extensions),
        bar_extension_left_mm=draw(extensions),
        few_implants_accepted=draw(st.booleans()),
        arch_form=draw(st.sampled_from(FORMS)),
        denture=DenturePlan.CONVERT if convert else DenturePlan.NEW,
        placement=draw(st.sampled_from(list(Placement))),
        extractions=0 if convert else draw(st.integers(1, 16)),
        variants=tuple(draw(st.lists(st.sampled_from(LISTED[:-2] if convert else LISTED[:-1]), unique=True))),
        graft_sites=draw(st.integers(0, 8)),
        retention=draw(st.sampled_from(list(Retention))),
        measurement=Measurement(
            method=method, landmark=landmark, set_up_accepted=draw(st.booleans()), error_mm=draw(st.none() | st.just(Decimal("0.75"))),
            to_incisal_edge=draw(st.booleans()),
        ),
        ridge_to_ridge_mm=draw(lengths),
        abutment_heights_mm=draw(st.sampled_from([(), (Decimal(2), Decimal("3.5"))])),
        present_denture=PresentDenture(base_stable=draw(maybe), tall_attachments=draw(maybe), thickness_mm=draw(lengths), age_years=draw(lengths)),
        earlier=draw(st.none() | st.just(EARLIER[arch])),
        sites=tuple(
            Site(
                tooth=tooth, denture_thickness_mm=draw(lengths), restorative_space_mm=draw(lengths), tissue_mm=draw(lengths), width_mm=draw(lengths),
                angle_md_deg=draw(angles), angle_fl_deg=draw(angles), platform_below_crest_mm=draw(depths),
                **draw(st.sampled_from(list_places(tooth))),
            )
            for tooth in teeth
        ),
    )  # fmt: skip


@given(
    jaws(Arch.MANDIBLE),
    st.none() | jaws(Arch.MAXILLA),
    st.sampled_from(["", "Nguyễn Thị Ánh", 'a "quoted" \\ name', "أحمد"]),
    lengths,
)
def test_a_case_survives_its_own_file(lower: Jaw, upper: Jaw | None, name: str, ridges: Decimal | None) -> None:
    facing = [replace(jaw, opposing=Opposing.DENTURE) for jaw in (lower, upper) if jaw is not None]
    both = (lower,) if upper is None else tuple(facing)
    patient = Patient(name=name, born=date(1951, 5, 2))
    case = Case(reference="C-1", jaws=both, health=("smoking",), patient=patient, ridge_to_ridge_mm=ridges)
    assert read_case_text(write_proposal_text(Proposal(case=case)), "case.toml", today=TODAY) == case
