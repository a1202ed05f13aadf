"""What could make room where an option is short or close: generic, for the clinician to judge, never advice."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.cautions import Caution, word_caution
from estimator.estimate.clearance.sites import SiteCheck
from estimator.inputs.case.model import Jaw
from estimator.inputs.options.model import Option
from estimator.inputs.reference.cautions import CautionText

Way = tuple[str, dict[str, object]]


def list_ways(
    jaw: Jaw, option: Option, checks: Sequence[SiteCheck], evidence: Evidence, texts: Mapping[str, CautionText]
) -> tuple[Caution, ...]:
    """Ways to gain the height that an option lacks in a jaw; none where it lacks nothing.

    What is missing counts up to the least stack at sites that are short of it, else up to the usual one.
    """
    short = any(check.shortage_mm > 0 for check in checks)
    missing = {c.tooth: c.shortage_mm if short else max(Decimal(0), -c.margin_mm) for c in checks}
    lacking = {tooth: length for tooth, length in missing.items() if length > 0}
    if not lacking:
        return ()
    tightest = min(checks, key=lambda check: check.margin_mm)
    found = _find_ways(jaw, option, tightest, lacking, evidence)
    return tuple(word_caution(texts[key], values) for key, values in found)


def _find_ways(
    jaw: Jaw, option: Option, tightest: SiteCheck, lacking: Mapping[str, Decimal], evidence: Evidence
) -> Iterator[Way]:
    places = " and ".join(f"{length:.2f} mm at {tooth}" for tooth, length in lacking.items())
    least, usual = tightest.stack.least_mm, tightest.stack.usual_mm
    yield "lower_parts", {"least": f"{least:.2f}", "saved": f"{usual - least:.2f}"}
    if option.on_implants and jaw.present_denture.tall_attachments:
        gain = evidence.get("ball_replacement_gain")
        yield "tall_attachments", {"low": f"{gain.low:f}", "high": f"{gain.high:f}"}
    resin = next((p.figure.value for p in option.stack if p.figure.key == "resin_over_housing"), None)
    if resin is not None:
        yield "thinner_tooth", {"resin": f"{resin:f}"}
    yield "set_up", {"places": places}
    if not (option.on_implants and jaw.implants_present):
        yield "ridge_shaping", {"places": places}


def name_other_options(names: Sequence[str], texts: Mapping[str, CautionText]) -> tuple[Caution, ...]:
    """One more way: an option that there is room for; nothing where there is none."""
    return (word_caution(texts["other_option"], {"options": ", ".join(names)}),) if names else ()
