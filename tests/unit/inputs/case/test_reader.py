"""A case document: what is read, and every problem at once."""

import re
import tomllib
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from estimator.base.problems import InputError
from estimator.files.shipped import DATA
from estimator.inputs.case.model import (
    ArchForm,
    Case,
    Jaw,
    Landmark,
    Measurement,
    Method,
    Patient,
    PresentDenture,
    Site,
    list_landmarks,
)
from estimator.inputs.case.reader import read_case
from estimator.inputs.case.writer import make_document
from tests.builders import TODAY, case_document
from tests.problem_builders import say_problems


def read(document: dict[str, Any]) -> Case:
    return read_case(document, file="case.toml", today=TODAY, health_flags=("smoking",))


def list_problems(document: dict[str, Any]) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(document)
    return say_problems(caught.value.problems)


def list_problems_text(document: dict[str, Any]) -> str:
    return "\n".join(list_problems(document))


def test_a_small_case_is_read_with_its_defaults() -> None:
    jaw = read(case_document()).jaws[0]
    assert (jaw.attachments_on_bar, jaw.extractions, jaw.opposing) == (None, 0, "denture")
    assert [site.restorative_space_mm for site in jaw.sites] == [Decimal("11.5"), Decimal(12)]


def test_a_patient_reads_as_the_practice_prints_unless_the_case_says_otherwise() -> None:
    assert read(case_document()).patient == Patient()
    patient = {"language": "en", "large_print": True}
    case = read(case_document() | {"patient": patient})
    assert case.patient == Patient(language="en", large_print=True)
    assert read(make_document(case)) == case


def test_a_language_that_there_are_no_sheets_in_is_a_problem() -> None:
    document = case_document() | {"patient": {"language": "xx", "large_print": "yes"}}
    first, second = list_problems(document)
    assert first == "case.toml, patient.language: got 'xx'; expected one of en"
    assert second.startswith("case.toml, patient.large_print: got 'yes'; expected")


def test_a_case_without_sites_is_a_good_case() -> None:
    assert read(case_document(sites=None, measurement=None)).jaws[0].sites == ()


@pytest.mark.parametrize(("implants", "attachments"), [(1, 0), (2, 2), (3, 3), (4, 4), (5, 4), (6, 4)])
def test_attachments_on_a_bar_default_by_number(implants: int, attachments: int) -> None:
    document = case_document(implants=implants, sites=None, measurement=None)
    assert read(document).jaws[0].bar_attachments == attachments


def test_attachments_on_a_bar_that_were_said_stand_for_those_that_are_usual() -> None:
    jaw = read(case_document(attachments_on_bar=1)).jaws[0]
    assert (jaw.attachments_on_bar, jaw.bar_attachments) == (1, 1)


def test_a_bar_of_an_older_file_carries_clips_and_has_no_extensions() -> None:
    jaw = read(case_document()).jaws[0]
    assert (jaw.bar_carries, jaw.bar_form) == ("clip", None)
    assert not jaw.few_implants_accepted
    assert jaw.bar_extension_right_mm == jaw.bar_extension_left_mm == Decimal(0)


def test_a_depth_that_is_left_blank_stays_blank_and_counts_as_level_with_the_crest() -> None:
    one = read(case_document()).jaws[0].sites[0]
    assert (one.platform_below_crest_mm, one.depth_mm) == (None, Decimal(0))
    assert "platform_below_crest_mm" not in make_document(read(case_document()))["jaws"][0]["sites"][0]


def test_one_thickness_of_the_present_denture_holds_at_every_site_without_its_own() -> None:
    sites = [{"tooth": "43", "denture_thickness_mm": 7}, {"tooth": "33"}]
    jaw = read(case_document(sites=sites, measurement=None, present_denture={"thickness_mm": 5})).jaws[0]
    assert [jaw.find_thickness(one) for one in jaw.sites] == [7, 5]


def test_ridge_to_ridge_is_read_from_the_case_and_from_the_jaws_of_older_files() -> None:
    case = read(case_document(ridge_to_ridge_mm=24) | {"ridge_to_ridge_mm": Decimal("22.5")})
    assert case.ridge_distances == (Decimal("22.5"), Decimal(24))
    assert read(make_document(case)) == case


def test_a_case_for_a_denture_alone_has_no_implants_and_at_most_one_place() -> None:
    places = [{"tooth": "41", "restorative_space_mm": 8}]
    jaw = read(case_document(implants=0, sites=places)).jaws[0]
    assert (jaw.implants, len(jaw.sites), jaw.bar_attachments) == (0, 1, 0)
    assert "at most one place" in list_problems_text(case_document(implants=0))


def test_the_demo_case_shows_every_field_with_a_value_that_is_read() -> None:
    shown = (DATA / "demo" / "case.toml").read_text(encoding="utf-8").partition("# What else a case may hold")[2]
    lines = [line.removeprefix("# ") for line in shown.splitlines() if re.match(r"# [a-z_]+ = ", line)]
    known = {
        name for kind in (Case, Patient, Jaw, PresentDenture, ArchForm, Measurement, Site) for name in kind.__slots__
    }
    assert {line.split(" ")[0] for line in lines} <= known
    assert all(tomllib.loads(line) for line in lines)


def site(**changes: Any) -> dict[str, Any]:
    return {"sites": [{"tooth": "43", "restorative_space_mm": Decimal("11.5"), **changes}]}


BAD = [
    ("a negative length", site(restorative_space_mm=-3),
     "case.toml, jaws[1].sites[1].restorative_space_mm: got -3; expected a length from 0 to 40 mm, such as 11.5"),
    ("an absurd length", site(restorative_space_mm=400), "got 400; expected a length from 0 to 40 mm"),
    ("a length in inches", site(restorative_space_mm="0.5 in"), "got '0.5 in'; expected a length from 0 to 40 mm"),
    ("a decimal comma in quotes", site(restorative_space_mm="12,5"), "without quotes, unit or decimal comma"),
    ("a length that is true", site(restorative_space_mm=True), "got true; expected a length"),
    ("a lean over 60 degrees", site(angle_md_deg=61), "got 61; expected a lean from -60 to 60 degrees"),
    ("a tooth of the other arch", site(tooth="13"), "got '13'; expected a tooth of the mandible"),
    ("a tooth without quotes", site(tooth=43), "got 43; expected a tooth of the mandible"),
    ("a position on the wrong side", site(position_mm=-10), "for tooth 43 0 or more"),
    ("a misspelt field", site(tisue_mm=2), "got an unknown field 'tisue_mm'; expected 'tissue_mm' perhaps"),
    ("a doubled tooth", {"sites": [{"tooth": "43"}, {"tooth": "43"}]}, "got tooth '43' more than once"),
    ("more sites than implants", {"implants": 1}, "got 2 sites; expected at most one site for each of the 1 implants"),
    ("an unknown arch", {"arch": "mandibel"}, "got 'mandibel'; expected 'mandible' perhaps"),
    ("fewer implants than none", {"implants": -1}, "got -1; expected a whole number from 0 to 8"),
    ("a place along the arch and beside it", site(position_mm=9, x_mm=9, y_mm=2), "got 9; expected the place once"),
    ("half a place", site(x_mm=9), "y_mm: got nothing; expected both x_mm and y_mm"),
    ("a place on the wrong side", site(x_mm=-9, y_mm=2), "x_mm: got -9; expected for tooth 43 0 or more"),
    ("one point of a curve", {"arch_form": {"canine_half_width_mm": 13, "canine_depth_mm": 5}},
     "molar_half_width_mm: got nothing; expected half width and depth of both"),
    ("a bar that carries something else", {"bar_carries": "magnet"}, "expected one of clip, screwed_in"),
    ("an extension longer than a jaw", {"bar_extension_left_mm": 30}, "got 30; expected a length from 0 to 20 mm"),
    ("a denture older than people", {"present_denture": {"age_years": 200}}, "expected an age from 0 to 80 years"),
    ("no number of implants", {"implants": None}, "jaws[1].implants: got nothing"),
    ("implants in words", {"implants": "four"}, "got 'four'; expected a whole number from 0 to 8"),
    ("a flag in quotes", {"implants_present": "yes"}, "got 'yes'; expected true or false, without quotes"),
    ("spaces without a measurement", {"measurement": None}, "expected how it was measured"),
    ("teeth to remove from a denture wearer", {"denture": "convert", "extractions": 3}, "no teeth left to remove"),
    ("sites that are no tables", {"sites": ["43"]}, "expected tables that each begin with [[jaws[1].sites]]"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "message"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_a_bad_jaw_is_refused_with_place_found_and_expected(changes: dict[str, Any], message: str) -> None:
    problems = list_problems(case_document(**changes))
    assert any(message in problem for problem in problems), problems
    assert all(problem.startswith("case.toml, jaws") for problem in problems)


def test_all_problems_come_at_once() -> None:
    document = case_document(
        arch="jaw", implants=99, sites=[{"tooth": "99", "restorative_space_mm": -1, "colour": "x"}]
    )
    assert len(list_problems({**document, "reference": "bad/../name", "health": ["smokng"]})) == 7


@pytest.mark.parametrize("method", list(Method))
@pytest.mark.parametrize("landmark", list(Landmark))
@pytest.mark.parametrize("present", [True, False])
def test_a_method_goes_only_with_a_landmark_it_shows(method: Method, landmark: Landmark, present: bool) -> None:
    measurement = {"method": method.value, "landmark": landmark.value}
    document = case_document(measurement=measurement, implants_present=present)
    if landmark in list_landmarks(method, implants_present=present):
        assert read(document).jaws[0].measurement is not None
    else:
        assert any(f"a landmark that {method} shows" in problem for problem in list_problems(document))


def test_only_cone_beam_ct_shows_bone_and_it_shows_soft_tissue_only_with_a_radiopaque_denture() -> None:
    for method in Method:
        shown = list_landmarks(method, implants_present=True)
        assert (Landmark.BONE_CREST in shown) is (method in (Method.CONE_BEAM_CT, Method.CONE_BEAM_CT_RADIOPAQUE))
        assert (Landmark.SOFT_TISSUE_CREST in shown) is (method is not Method.CONE_BEAM_CT)


def test_a_panoramic_film_is_refused_with_the_reason() -> None:
    """Panoramic films magnify about 25 %, variably: Muller, Salinas 2022 (chapter)."""
    measurement = {"method": "panoramic", "landmark": "bone_crest"}
    assert any(
        "panoramic films magnify" in problem for problem in list_problems(case_document(measurement=measurement))
    )


def with_patient(born: Any) -> dict[str, Any]:
    return {**case_document(), "patient": {"name": "Şükrü Iğdır", "born": born}}


def test_seventeen_is_kindly_refused() -> None:
    (problem,) = list_problems(with_patient(TODAY.replace(year=TODAY.year - 18) + timedelta(days=1)))
    assert "expected 18 years or older: this tool is for adults" in problem


def test_eighteen_today_is_adult() -> None:
    assert read(with_patient(TODAY.replace(year=TODAY.year - 18))).patient.born == date(2008, 11, 25)


@pytest.mark.parametrize("born", [date(2027, 1, 1), date(1850, 1, 1), "1951-05-02", 1951])
def test_an_impossible_date_of_birth_is_refused(born: Any) -> None:
    assert any("patient.born" in problem for problem in list_problems(with_patient(born)))


def test_a_name_with_a_line_break_is_refused() -> None:
    problems = list_problems({**case_document(), "patient": {"name": "A\nB"}})
    assert any("patient.name" in problem for problem in problems)


def test_the_same_arch_twice_is_refused() -> None:
    document = case_document()
    assert any("each arch once" in p for p in list_problems({**document, "jaws": document["jaws"] * 2}))


@pytest.mark.parametrize(("first", "second", "named"), [("denture", "teeth", 1), ("fixed", "teeth", 2)])
def test_two_jaws_without_teeth_face_dentures_and_both_fields_are_named(first: str, second: str, named: int) -> None:
    lower = case_document(opposing=first)
    upper = {"arch": "maxilla", "implants": 0, "opposing": second}
    problems = list_problems({**lower, "jaws": [*lower["jaws"], upper]})
    assert len(problems) == named
    for problem in problems:
        assert "jaws[1].opposing" in problem
        assert "jaws[2].opposing" in problem


def test_what_stands_in_the_other_jaw_of_a_case_of_one_jaw_is_free() -> None:
    assert read(case_document(opposing="teeth")).jaws[0].opposing == "teeth"


def test_no_jaws_and_three_jaws_are_refused() -> None:
    lists: list[list[Any]] = [[], case_document()["jaws"] * 3]
    for jaws in lists:
        assert any("one or two tables" in p for p in list_problems({"reference": "T-1", "jaws": jaws}))


def test_jaws_that_are_no_list_are_refused() -> None:
    assert any("[[jaws]]" in p for p in list_problems({"reference": "T-1", "jaws": {"arch": "mandible"}}))


def test_a_present_denture_is_known_unknown_or_not() -> None:
    denture = read(case_document(present_denture={"base_stable": False})).jaws[0].present_denture
    assert (denture.base_stable, denture.tall_attachments) == (False, None)


def test_abutment_heights_are_sorted_and_each_counts_once() -> None:
    heights = read(case_document(abutment_heights_mm=[4, Decimal("2.5"), 4])).jaws[0].abutment_heights_mm
    assert heights == (Decimal("2.5"), Decimal(4))


@pytest.mark.parametrize("heights", [[0, 2], [2, 16], ["2"], [], 3, [True], "2, 3"])
def test_bad_abutment_heights_are_named(heights: object) -> None:
    assert "abutment_heights_mm" in list_problems_text(case_document(abutment_heights_mm=heights))


EARLIER = {
    "measured_on": date(2026, 9, 1),
    "measurement": {"method": "mounted_casts", "landmark": "soft_tissue_crest"},
    "sites": [{"tooth": "43", "restorative_space_mm": 12}],
}


def test_an_earlier_measurement_is_kept_whole() -> None:
    earlier = read(case_document(earlier=EARLIER)).jaws[0].earlier
    assert earlier is not None
    assert (earlier.measured_on, earlier.implants_present, len(earlier.sites)) == (date(2026, 9, 1), False, 1)


@pytest.mark.parametrize(("changes", "place"), [
    ({"measured_on": date(2027, 1, 1)}, "earlier.measured_on"),
    ({"measured_on": None}, "earlier.measured_on"),
    ({"measurement": None}, "earlier.measurement"),
    ({"measurement": {"method": "mounted_casts", "landmark": "platform"}}, "earlier.measurement.landmark"),
    ({"sites": [{"tooth": "13"}]}, "earlier.sites[1].tooth"),
    ({"sites": [{"tooth": "43", "restorative_space_mm": 99}]}, "earlier.sites[1].restorative_space_mm"),
])  # fmt: skip
def test_a_bad_earlier_measurement_is_named(changes: dict[str, object], place: str) -> None:
    earlier = {k: v for k, v in (EARLIER | changes).items() if v is not None}
    assert place in list_problems_text(case_document(earlier=earlier))
