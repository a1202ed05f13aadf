"""The check in layers: each says what it finds and how sure that is; the worst that decides makes the headline.

A layer with an error has two chances, with the usual and with the least parts, and one rule for all of them.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.base.evidence import HowSure
from estimator.base.formats import format_mm, say_in_100
from estimator.inputs.options.model import Attachments
from estimator.inputs.reference.layers import LayerKey, LayerSentence, LayerState, LayerText

NEEDED = (LayerKey.NUMBER, LayerKey.HEIGHT, LayerKey.DENTURE, LayerKey.ALONG)
"""Layers without which nothing better than not measured can be said."""
_NEAR = 1e-9
_STATES, _KEYS = tuple(LayerState), tuple(LayerKey)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer of one option in one jaw. Lengths [mm] at `site`, the one least sure.

    `margin_mm` is what there is over the usual need, `short_mm` what is missing below the least, 0 where nothing is.
    Chances are None where the layer has no error. `sentence` is the key of its texts, `values` fill them; brief ones
    are a whole verdict in one line. A layer that may not rule out only warns.
    """

    key: LayerKey
    state: LayerState
    may_rule_out: bool = True
    chance_usual: float | None = None
    chance_least: float | None = None
    margin_mm: Decimal | None = None
    short_mm: Decimal = Decimal(0)
    site: str | None = None
    sentence: str = ""
    name: str = ""
    patient_name: str = ""
    text: str = ""
    patient_text: str = ""
    brief: str = ""
    patient_brief: str = ""
    source: str = ""
    how_sure: HowSure | None = None
    values: tuple[tuple[str, object], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerFinding:
    """What a layer found, before it is put into words: `special` picks one of several sentences of a state."""

    state: LayerState
    special: str = ""
    chance_usual: float | None = None
    chance_least: float | None = None
    margin_mm: Decimal | None = None
    short_mm: Decimal = Decimal(0)
    site: str | None = None
    values: tuple[tuple[str, object], ...] = ()


def find_layer_state(chance_usual: float, chance_least: float, level: float) -> LayerState:
    """Room where the usual parts fit surely enough, not enough where even the least surely do not, else close."""
    if chance_usual >= level - _NEAR:
        return LayerState.ROOM
    return LayerState.NOT_ENOUGH if chance_least < 1 - level - _NEAR else LayerState.CLOSE


def find_headline(layers: Iterable[Layer]) -> tuple[Layer, tuple[Layer, ...]]:
    """The layer in the worst state of all that decide, and the others in the same state, the next after it first.

    Of several close ones the least sure with the least parts comes first, of several with room the least sure with the
    usual ones. Raises ValueError where no layer decides.
    """
    deciding = [layer for layer in layers if layer.may_rule_out and _is_told(layer)]
    if not deciding:
        raise ValueError("'layers' must hold one that decides (got none)")
    worst = min((layer.state for layer in deciding), key=_STATES.index)
    first, *others = sorted((layer for layer in deciding if layer.state is worst), key=_rank)
    return first, tuple(others)


def _is_told(layer: Layer) -> bool:
    if layer.state is LayerState.NOT_MEASURED:
        return layer.key in NEEDED
    return layer.state is not LayerState.NOT_ASKED


def _rank(layer: Layer) -> tuple[float, int]:
    sure = {
        LayerState.CLOSE: 0.0 if layer.chance_least is None else layer.chance_least,
        LayerState.ROOM: 1.0 if layer.chance_usual is None else layer.chance_usual,
    }
    return sure.get(layer.state, 0.0), _KEYS.index(layer.key)


def say_finding(layers: Iterable[Layer], *, patient: bool) -> str:
    """The verdict in one line: what the layer that decides says, and the names of others that are as bad.

    Where there is room everywhere it is the room in height, which the pictures show.
    """
    layers = tuple(layers)
    headline, others = find_headline(layers)
    if headline.state is LayerState.ROOM:
        headline, others = next((one for one in layers if one.key is LayerKey.HEIGHT), headline), ()
    brief, *names = (
        (headline.patient_brief, *(one.patient_name for one in others))
        if patient
        else (headline.brief, *(one.name for one in others))
    )
    return " \N{MIDDLE DOT} ".join((brief, *names))


def list_deciding_texts(layers: Iterable[Layer]) -> tuple[str, ...]:
    """What the layers in the state of the headline say in full to the trade, the headline first."""
    headline, others = find_headline(layers)
    return tuple(one.text for one in (headline, *others))


def has_room_everywhere(layers: Iterable[Layer]) -> bool:
    """Whether every layer that was asked says so, those too that only warn."""
    told = [layer for layer in layers if _is_told(layer)]
    return all(layer.state is LayerState.ROOM for layer in told)


def word_layer(finding: LayerFinding, text: LayerText, attachments: Attachments, locale: str = "en_US") -> Layer:
    """A finding of one layer with its sentences and its source; nothing is said of what is not asked."""
    word = f"{finding.state}_{finding.special}" if finding.special else finding.state.value
    values = {**_fill_chances(finding), **dict(finding.values)}
    bare = Layer(
        key=text.key,
        state=finding.state,
        may_rule_out=attachments in text.rules_out,
        chance_usual=finding.chance_usual,
        chance_least=finding.chance_least,
        margin_mm=finding.margin_mm,
        short_mm=finding.short_mm,
        site=finding.site,
        sentence=word,
        name=text.name,
        patient_name=text.patient_name,
        source=text.source,
        how_sure=text.how_sure,
        values=tuple(values.items()),
    )
    said = text.says.get(word)
    return bare if said is None else say_layer(bare, said, locale)


def say_layer(layer: Layer, said: LayerSentence, locale: str) -> Layer:
    """The layer with these sentences, lengths as a reader of `locale` writes them."""
    office, patient = (_Filling(dict(layer.values), locale, short=short) for short in (False, True))
    return replace(
        layer,
        text=said.text.format_map(office),
        brief=said.brief.format_map(office),
        patient_text=said.patient_text.format_map(patient),
        patient_brief=said.patient_brief.format_map(patient),
    )


class _Filling:
    """Values by name for the places of a text; a length is written only where a text asks for it."""

    def __init__(self, values: Mapping[str, object], locale: str, *, short: bool) -> None:
        self._values, self._locale, self._short = values, locale, short

    def __getitem__(self, name: str) -> object:
        value = self._values[name]
        is_length = isinstance(value, Decimal) and name.endswith("_mm")
        return format_mm(value, self._locale, short=self._short) if is_length else value


def _fill_chances(finding: LayerFinding) -> Mapping[str, object]:
    """Out of 100; the patient reads whole numbers alone, so that every language can say them."""
    filled: dict[str, object] = {}
    for name, chance in (("usual", finding.chance_usual), ("least", finding.chance_least)):
        if chance is not None:
            filled |= {name: say_in_100(chance), f"{name}_told": min(99, max(1, round(100 * chance)))}
    return filled
