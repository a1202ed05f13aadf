"""The Case page: quick entry, what is missing, nothing lost on a page change."""

import re
from decimal import Decimal
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from estimator.inputs.case.model import Case
from tests.app.conftest import Go, read_plan, show, type_in_plan


def find(app: AppTest, kind: str, name: str) -> Any:
    """A widget of the open case by the end of its key, without the number of the case in this tab."""
    return next(widget for widget in app.get(kind) if re.sub(r"_\d+$", "", widget.key or "").endswith(name))


def choose(app: AppTest, name: str, value: str) -> AppTest:
    """One of a row of choices."""
    return find(app, "button_group", name).set_value(value).run()  # type: ignore[no-any-return]


@pytest.fixture
def new(app: AppTest) -> AppTest:
    return app.button("new_case").click().run()


def get_case(app: AppTest) -> Case:
    case: Case = app.session_state["case"]
    return case


def test_a_new_case_is_already_a_good_case_without_measurements(new: AppTest) -> None:
    case = get_case(new)
    assert (case.reference, case.jaws[0].arch, case.jaws[0].measurement) == ("C-1", "mandible", None)


def test_one_number_stands_for_all_sites(new: AppTest) -> None:
    choose(new, "mandible_way", "One number for all sites")
    find(new, "number_input", "mandible_space").set_value(11.5).run()
    assert [site.restorative_space_mm for site in get_case(new).jaws[0].sites] == [Decimal("11.5")] * 2
    assert [site.tooth for site in get_case(new).jaws[0].sites] == ["43", "33"]


def test_more_implants_make_more_sites(new: AppTest) -> None:
    choose(new, "mandible_way", "One number for all sites")
    find(new, "number_input", "mandible_space").set_value(11.5).run()
    find(new, "number_input", "mandible_implants").set_value(5).run()
    jaw = get_case(new).jaws[0]
    assert (len(jaw.sites), jaw.attachments_on_bar, jaw.bar_attachments) == (5, None, 4)


def test_what_the_form_does_not_ask_stays_as_the_case_file_said_it(app: AppTest) -> None:
    app.button("open_demo").click().run()
    points = {"canine_half_width_mm": 13, "canine_depth_mm": 5, "molar_half_width_mm": 25, "molar_depth_mm": 25}
    jaw = app.session_state["memory"].copy.document["case"]["jaws"][0]
    jaw |= {"few_implants_accepted": True, "arch_form": points, "abutment_heights_mm": [2, 4]}
    find(app, "number_input", "mandible_extractions").set_value(1).run()
    read = get_case(app).jaws[0]
    assert (read.extractions, read.few_implants_accepted) == (1, True)
    assert (read.arch_form.canine_depth_mm, read.abutment_heights_mm) == (Decimal(5), (Decimal(2), Decimal(4)))


def list_labels(app: AppTest) -> set[str]:
    kinds = ("number_input", "selectbox", "checkbox", "text_input")
    return {getattr(widget, "label", "") for kind in kinds for widget in app.get(kind)}


def test_what_a_bar_carries_and_how_far_it_reaches_is_asked(demo: AppTest) -> None:
    find(demo, "selectbox", "mandible_bar_carries").select("screwed_in").run()
    find(demo, "selectbox", "mandible_bar_form").select("milled").run()
    find(demo, "number_input", "mandible_bar_extension_left_mm").set_value(9.0).run()
    jaw = get_case(demo).jaws[0]
    assert (jaw.bar_carries, jaw.bar_form, jaw.bar_extension_left_mm) == ("screwed_in", "milled", Decimal(9))
    assert jaw.bar_extension_right_mm == 0


@pytest.mark.parametrize(("implants", "asked"), [(1, False), (2, True)])
def test_a_bar_is_asked_about_where_there_are_implants_to_join(new: AppTest, implants: int, asked: bool) -> None:
    find(new, "number_input", "mandible_implants").set_value(implants).run()
    assert ("The bar carries" in list_labels(new)) is asked


def test_the_present_denture_is_asked_about_where_attachments_go_into_it(demo: AppTest) -> None:
    assert "Thickness at every site, mm" not in list_labels(demo)
    find(demo, "selectbox", "mandible_denture").select("convert").run()
    find(demo, "number_input", "mandible_thickness_mm").set_value(5.5).run()
    find(demo, "number_input", "mandible_age_years").set_value(7.0).run()
    denture = get_case(demo).jaws[0].present_denture
    assert (denture.thickness_mm, denture.age_years) == (Decimal("5.5"), Decimal(7))
    assert "denture_thickness_mm" in read_plan(demo)["more"]


def test_implants_in_place_need_no_guide_and_no_second_stage(new: AppTest) -> None:
    assert "Implants will be placed" in list_labels(new)
    assert "Two-stage surgery" in str(find(new, "button_group", "mandible_variants").options)
    find(new, "selectbox", "mandible_present").select("in place").run()
    assert "Implants will be placed" not in list_labels(new)
    assert "Two-stage surgery" not in str(find(new, "button_group", "mandible_variants").options)


def test_a_case_without_implants_asks_only_what_a_denture_needs(new: AppTest) -> None:
    find(new, "number_input", "mandible_implants").set_value(0).run()
    type_in_plan(new, 0, restorative_space_mm=8.5)
    jaw = get_case(new).jaws[0]
    assert (jaw.implants, [site.restorative_space_mm for site in jaw.sites]) == (0, [Decimal("8.5")])
    assert list_labels(new).isdisjoint({"They are", "The bar carries", "Inserts at first", "Implants will be placed"})


def test_an_upper_bar_on_few_implants_is_taken_on_the_clinicians_word(new: AppTest) -> None:
    choose(new, "jaws", "Upper jaw")
    assert "few_implants_accepted" not in str([box.key for box in new.checkbox])
    find(new, "number_input", "maxilla_implants").set_value(2).run()
    find(new, "checkbox", "few_implants_accepted").check().run()
    assert get_case(new).jaws[0].few_implants_accepted


def test_ridge_to_ridge_of_an_older_case_file_stays_with_its_jaw_until_it_is_typed(go: Go) -> None:
    text = 'reference = "R-1"\n[[jaws]]\narch = "mandible"\nimplants = 2\nridge_to_ridge_mm = 22.0\n'
    app = go("case").file_uploader("case_in").upload("case.toml", text.encode(), "application/toml").run()
    assert find(app, "number_input", "case_ridges").value == 22.0
    assert (get_case(app).ridge_to_ridge_mm, get_case(app).jaws[0].ridge_to_ridge_mm) == (None, Decimal(22))
    find(app, "number_input", "case_ridges").set_value(23.0).run()
    assert (get_case(app).ridge_to_ridge_mm, get_case(app).jaws[0].ridge_to_ridge_mm) == (Decimal(23), None)


def test_a_measured_width_of_the_ridge_widens_the_plan(demo: AppTest) -> None:
    before = read_plan(demo)["curve"][-1]
    find(demo, "number_input", "mandible_arch_width").set_value(60.0).run()
    assert get_case(demo).jaws[0].arch_form.width_mm == Decimal(60)
    assert read_plan(demo)["curve"][-1][0] > before[0]


def test_a_missing_reference_is_listed_with_what_is_expected(new: AppTest) -> None:
    find(new, "text_input", "reference").set_value("a b").run()
    assert "This case is not complete yet: 1 problem." in show(new.error[0].value)
    assert list(new.table[0].value["Where"]) == ["reference"]


def test_a_case_with_problems_is_not_estimated_and_says_where_to_look(new: AppTest, go: Go) -> None:
    find(new, "text_input", "reference").set_value("").run()
    app = go("options")
    assert any("is **not complete yet**" in text.value for text in app.markdown)


def test_what_was_typed_is_there_after_a_page_change_complete_or_not(new: AppTest, go: Go) -> None:
    find(new, "text_input", "reference").set_value("not complete !").run()
    find(new, "text_input", "name").set_value("Ольга Щербакова").run()
    choose(new, "mandible_way", "One number for all sites")
    find(new, "number_input", "mandible_space").set_value(9.25).run()
    go("fees")
    app = go("case")
    assert find(app, "text_input", "reference").value == "not complete !"
    assert find(app, "text_input", "name").value == "Ольга Щербакова"
    assert find(app, "number_input", "mandible_space").value == 9.25


def test_both_jaws_can_be_entered(new: AppTest) -> None:
    choose(new, "jaws", "Both jaws")
    find(new, "number_input", "maxilla_implants").set_value(6).run()
    assert [(jaw.arch, jaw.implants) for jaw in get_case(new).jaws] == [("mandible", 2), ("maxilla", 6)]


def test_going_back_to_one_jaw_and_forth_keeps_that_jaw(new: AppTest) -> None:
    find(new, "number_input", "mandible_implants").set_value(6).run()
    choose(new, "jaws", "Both jaws")
    assert get_case(new).jaws[0].implants == 6


def test_cone_beam_ct_offers_only_landmarks_it_shows(new: AppTest) -> None:
    choose(new, "mandible_way", "One number for all sites")
    find(new, "selectbox", "mandible_method").select("cone_beam_ct").run()
    landmark = find(new, "selectbox", "mandible_landmark_cone_beam_ct_False")
    assert landmark.options == ["bone crest"]


def test_the_demo_case_opens_with_its_sites(app: AppTest) -> None:
    app.button("open_demo").click().run()
    assert [site.tooth for site in get_case(app).jaws[0].sites] == ["44", "42", "32", "34"]


def test_opening_the_demo_over_a_case_takes_all_its_fields(new: AppTest) -> None:
    find(new, "text_input", "reference").set_value("MINE-1").run()
    new.button("open_demo").click().run()
    new.button("leave_aside").click().run()
    assert find(new, "text_input", "reference").value == "C-1042"


def test_a_measurement_that_is_set_aside_comes_back(new: AppTest) -> None:
    choose(new, "mandible_way", "One number for all sites")
    find(new, "number_input", "mandible_space").set_value(9.25).run()
    choose(new, "mandible_way", "Not measured yet")
    assert get_case(new).jaws[0].measurement is None
    choose(new, "mandible_way", "One number for all sites")
    assert find(new, "number_input", "mandible_space").value == 9.25


def test_a_jaw_that_is_left_out_comes_back(new: AppTest) -> None:
    choose(new, "jaws", "Both jaws")
    find(new, "number_input", "maxilla_implants").set_value(7).run()
    choose(new, "jaws", "Lower jaw")
    assert [jaw.arch for jaw in get_case(new).jaws] == ["mandible"]
    choose(new, "jaws", "Both jaws")
    assert get_case(new).jaws[1].implants == 7


def test_a_case_whose_upper_jaw_comes_first_keeps_both_jaws_as_they_are(go: Go) -> None:
    upper, lower = ('arch = "maxilla"\nimplants = 5\n', 'arch = "mandible"\nimplants = 2\n')
    text = f'reference = "M-7"\n[[jaws]]\n{upper}implants_present = false\n[[jaws]]\n{lower}implants_present = true\n'
    app = go("case").file_uploader("case_in").upload("case.toml", text.encode(), "application/toml").run()
    assert not app.exception
    assert [(jaw.arch, jaw.implants) for jaw in app.session_state["case"].jaws] == [("maxilla", 5), ("mandible", 2)]
    app = go("quote")
    assert [box.key for box in app.selectbox if str(box.key).startswith("quote_") and box.label == "Option"] == [
        "quote_0_1",
        "quote_1_1",
    ]


def test_the_plan_begins_with_what_the_case_says_of_each_implant(demo: AppTest) -> None:
    rows = read_plan(demo)["rows"]
    assert [row["tooth"] for row in rows] == ["44", "42", "32", "34"]
    assert [row["restorative_space_mm"] for row in rows] == [12.0, 13.25, 12.75, 11.5]


def test_a_dot_that_was_moved_is_the_place_of_that_implant(demo: AppTest) -> None:
    type_in_plan(demo, 3, position_mm=-21.5)
    assert get_case(demo).jaws[0].sites[3].position_mm == Decimal("-21.5")
    assert get_case(demo).jaws[0].sites[0].position_mm == Decimal("22")


def test_leans_and_places_can_be_typed_before_anything_is_measured(new: AppTest) -> None:
    type_in_plan(new, 1, angle_fl_deg=4, position_mm=-14)
    jaw = get_case(new).jaws[0]
    assert jaw.measurement is None
    assert (jaw.sites[1].angle_fl_deg, jaw.sites[1].position_mm) == (Decimal(4), Decimal(-14))


@pytest.mark.parametrize("way", ["Not measured yet", "One number for all sites"])
def test_leans_outlive_another_way_of_measuring(demo: AppTest, way: str) -> None:
    type_in_plan(demo, 3, angle_md_deg=9)
    choose(demo, "mandible_way", way)
    assert get_case(demo).jaws[0].sites[3].angle_md_deg == Decimal(9)
    choose(demo, "mandible_way", "Site by site")
    assert get_case(demo).jaws[0].sites[3].angle_md_deg == Decimal(9)


def test_spaces_come_back_when_a_measurement_counts_again(demo: AppTest) -> None:
    choose(demo, "mandible_way", "Not measured yet")
    assert all(site.restorative_space_mm is None for site in get_case(demo).jaws[0].sites)
    choose(demo, "mandible_way", "Site by site")
    assert [row["restorative_space_mm"] for row in read_plan(demo)["rows"]] == [12.0, 13.25, 12.75, 11.5]


def test_fewer_implants_and_more_again_lose_no_row(demo: AppTest) -> None:
    find(demo, "number_input", "mandible_implants").set_value(2).run()
    find(demo, "number_input", "mandible_implants").set_value(4).run()
    assert [row["restorative_space_mm"] for row in read_plan(demo)["rows"]] == [12.0, 13.25, 12.75, 11.5]


def test_distances_and_leans_are_said_below_the_plan(demo: AppTest) -> None:
    said = next(text.value for text in demo.markdown if text.value.startswith("**Between implants**"))
    assert "13.0, 17.1, 13.0 mm" in said
    assert "**Most apart in lean** 42 and 34, 6.5°" in said


def test_a_place_that_nobody_gave_is_said_to_be_assumed(new: AppTest) -> None:
    assert any("**Place not given** at 43, 33" in text.value for text in new.markdown)


def test_a_number_beyond_its_limits_is_listed_where_it_was_found(demo: AppTest) -> None:
    type_in_plan(demo, 0, restorative_space_mm=400)
    assert "1 problem" in show(demo.error[0].value)
    assert find(demo, "text_input", "reference").value == "C-1042"


def test_the_first_space_that_is_typed_makes_a_jaw_measured(new: AppTest) -> None:
    type_in_plan(new, 0, restorative_space_mm=11.5)
    jaw = get_case(new).jaws[0]
    assert jaw.measurement is not None
    assert [site.restorative_space_mm for site in jaw.sites] == [Decimal("11.5"), None]
    assert find(new, "button_group", "mandible_way_1").value == "Site by site"


def test_how_we_measure_shows_a_picture_with_its_words(demo: AppTest) -> None:
    assert any("**Depth**: of the platform (C) below the bone crest (B)" in text.value for text in demo.markdown)
    assert len(demo.get("vega_lite_chart")) == 1
