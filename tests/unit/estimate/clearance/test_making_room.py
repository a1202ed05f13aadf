"""What could make room, the present denture, and an earlier measurement beside today's."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.estimate.clearance.verdict import Clearance, Verdict
from estimator.inputs.case.model import DenturePlan, Earlier, Jaw, PresentDenture, Site
from tests.builders import CASTS, estimate_jaw, make_jaw, make_sites


def check(jaw: Jaw, option: str = "connecting_bar") -> Clearance:
    return estimate_jaw(jaw)[option].clearance


def tell(jaw: Jaw, option: str = "connecting_bar") -> dict[str, str]:
    return {way.key: way.text for way in check(jaw, option).ways}


class TestWays:
    def test_an_option_with_room_to_spare_needs_none(self) -> None:
        assert tell(make_jaw("14")) == {}

    def test_an_option_without_room_says_how_much_is_missing_where(self) -> None:
        ways = tell(make_jaw("9", "8", "7.75", "9"))
        assert "0.25 mm at 44 and 0.50 mm at 43" in ways["set_up"]

    def test_an_option_that_is_close_counts_up_to_the_usual_stack(self) -> None:
        assert "0.75 mm at 44" in tell(make_jaw("10"))["set_up"]

    def test_an_option_that_is_close_with_its_usual_stack_whole_lacks_nothing(self) -> None:
        assert check(make_jaw("11")).verdict is Verdict.TIGHT
        assert tell(make_jaw("11")) == {}

    def test_a_ridge_is_shaped_only_before_the_implants_stand_in_it(self) -> None:
        assert "ridge_shaping" not in tell(make_jaw("7"))
        assert "1.25 mm" in tell(make_jaw("7", implants_present=False))["ridge_shaping"]

    def test_tall_attachments_in_place_are_named_with_what_they_gain(self) -> None:
        """1.5 to 2 mm (practice)."""
        tall = make_jaw("7", present_denture=PresentDenture(tall_attachments=True))
        assert "1.5 to 2.0 mm" in tell(tall)["tall_attachments"]
        assert "tall_attachments" not in tell(make_jaw("7"))

    def test_another_option_is_named_only_where_one_has_room(self) -> None:
        assert "Conventional denture" in tell(make_jaw("7"))["other_option"]
        assert "other_option" not in tell(make_jaw("3"))

    def test_a_denture_without_a_housing_has_no_resin_over_one(self) -> None:
        assert "thinner_tooth" not in tell(make_jaw("3"), "conventional_denture")
        assert "2.0 mm of resin" in tell(make_jaw("5"), "individual_attachments")["thinner_tooth"]


class TestPresentDenture:
    def _convert(self, *thick: str | None, **known: bool) -> Jaw:
        sites = tuple(
            Site(tooth=str(43 - i), restorative_space_mm=Decimal(13), denture_thickness_mm=Decimal(t) if t else None)
            for i, t in enumerate(thick)
        )
        denture = PresentDenture(base_stable=known.get("base_stable"), tall_attachments=known.get("tall_attachments"))
        return make_jaw("13", implants=len(thick), sites=sites, denture=DenturePlan.CONVERT, present_denture=denture)

    def test_collar_housing_and_resin_must_find_room_in_it(self) -> None:
        """1 + 2.25 + 2 = 5.25: the least stack without the teeth that are in it already."""
        clearance = check(self._convert("5.25", "5.00"), "individual_attachments")
        assert clearance.conversion is not None
        assert clearance.conversion.needed_mm == Decimal("5.25")
        assert [s.shortage_mm for s in clearance.conversion.sites] == [0, Decimal("0.25")]
        assert any(c.key == "thickness_short" and "0.25 mm less" in c.text for c in clearance.cautions)

    def test_a_thickness_that_was_not_measured_is_said(self) -> None:
        cautions = check(self._convert("6", None), "individual_attachments").cautions
        assert any(c.key == "thickness_missing" and "42" in c.text for c in cautions)

    def test_a_base_that_is_not_stable_is_relined_first(self) -> None:
        keys = [
            {c.key for c in check(self._convert("6", **known), "individual_attachments").cautions}
            for known in ({}, {"base_stable": True}, {"base_stable": False})
        ]
        assert [("base_not_known" in k, "base_reline_first" in k) for k in keys] == [
            (True, False), (False, False), (False, True),
        ]  # fmt: skip

    def test_a_new_denture_has_nothing_to_convert(self) -> None:
        assert check(make_jaw("13"), "individual_attachments").conversion is None

    def test_a_denture_is_not_converted_to_fit_a_bar(self) -> None:
        assert check(self._convert("6", "6")).conversion is None


class TestEarlier:
    def _recheck(self, before: str, now: str) -> Clearance:
        earlier = Earlier(
            measured_on=date(2026, 9, 1), implants_present=False, measurement=CASTS, sites=make_sites([before] * 4)
        )
        return check(replace(make_jaw(now), earlier=earlier))

    def test_the_verdict_of_the_earlier_measurement_stands_beside_todays(self) -> None:
        clearance = self._recheck("13", "7.65")
        assert clearance.earlier is not None
        assert (clearance.earlier.verdict, clearance.verdict) == (Verdict.FITS, Verdict.DOES_NOT_FIT)
        assert (clearance.earlier.margin_mm, clearance.shortage_mm) == (Decimal("2.25"), Decimal("0.60"))
        assert clearance.earlier.measured_on == date(2026, 9, 1)

    def test_planned_depth_counted_then_and_does_not_now(self) -> None:
        """11.40 leaves 0.65: with implants in place that is enough, with the error of placement it is not."""
        clearance = self._recheck("11.50", "11.50")
        assert clearance.earlier is not None
        assert (clearance.earlier.verdict, clearance.verdict) == (Verdict.TIGHT, Verdict.FITS)

    def test_without_an_earlier_measurement_there_is_nothing_beside(self) -> None:
        assert check(make_jaw("13")).earlier is None
