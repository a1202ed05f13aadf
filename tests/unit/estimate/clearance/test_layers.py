"""Layers: one rule from two chances, and the worst layer that decides makes the headline."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator import files
from estimator.base.formats import say_in_100
from estimator.estimate.clearance.layers import (
    Layer,
    LayerFinding,
    find_headline,
    find_layer_state,
    word_layer,
)
from estimator.inputs.options.model import Attachments
from estimator.inputs.reference.layers import LayerKey, LayerState
from tests.builders import check_room, load_demo_practice, make_jaw

WORST_FIRST = tuple(LayerState)
chances = st.floats(0, 1)


def make_layer(key: LayerKey, state: LayerState, **more: object) -> Layer:
    return Layer(key=key, state=state, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("usual", "least", "state"),
    [(0.80, 1.0, "room"), (0.80 - 5e-10, 1.0, "room"), (0.799, 1.0, "close"), (0.0, 0.20, "close"), (0.0, 0.199, "not_enough")],
)  # fmt: skip
def test_a_state_is_room_from_the_level_and_not_enough_below_its_mirror(usual: float, least: float, state: str) -> None:
    assert find_layer_state(usual, least, 0.80) == state


@given(chances, chances, chances, chances)
def test_better_chances_never_make_a_worse_state(usual: float, least: float, more: float, most: float) -> None:
    before = find_layer_state(usual, least, 0.8)
    after = find_layer_state(max(usual, more), max(least, most), 0.8)
    assert WORST_FIRST.index(after) >= WORST_FIRST.index(before)


def test_a_layer_that_may_not_rule_out_is_never_the_headline() -> None:
    narrow = make_layer(LayerKey.WIDTH, LayerState.NOT_ENOUGH, may_rule_out=False)
    headline, others = find_headline([make_layer(LayerKey.HEIGHT, LayerState.ROOM), narrow])
    assert (headline.key, others) == (LayerKey.HEIGHT, ())


def test_without_any_layer_that_decides_there_is_no_headline() -> None:
    with pytest.raises(ValueError, match="layers"):
        find_headline([make_layer(LayerKey.PATH, LayerState.NOT_MEASURED)])


def test_a_layer_says_what_was_found_to_both_readers() -> None:
    text = load_demo_practice().layers[LayerKey.ALONG]
    found = LayerFinding(
        state=LayerState.CLOSE, chance_usual=0.6346, chance_least=0.9991, values=(("places", 3), ("planned", 4))
    )
    layer = word_layer(found, text, Attachments.ON_BAR)
    assert "room for 3 of 4 attachments" in layer.text
    assert "63 in 100" in layer.text
    assert "63 in 100" in layer.patient_text
    assert (layer.sentence, layer.may_rule_out) == ("close", True)


@pytest.mark.parametrize(
    ("chance", "said"), [(0.0, "under 1"), (0.009, "under 1"), (0.5, "50"), (0.99, "99"), (1.0, "over 99")]
)
def test_a_chance_out_of_100_is_never_quite_none_and_never_quite_all(chance: float, said: str) -> None:
    assert say_in_100(chance) == said


def test_every_layer_that_is_asked_says_each_of_its_states_in_both_languages() -> None:
    spanish = files.load_wording("es")
    for key, text in load_demo_practice().layers.items():
        for word in text.says:
            assert list(spanish.find_names(f"layer.{key}.{word}.patient_text")), (key, word)


def test_the_headline_of_a_clearance_tells_its_layer_and_its_verdict() -> None:
    clearance = check_room(make_jaw("7"), "connecting_bar")
    assert (clearance.headline.key, clearance.headline.state) == (LayerKey.HEIGHT, LayerState.NOT_ENOUGH)
    assert clearance.verdict == "does_not_fit"
    assert "1.25\N{NO-BREAK SPACE}mm under the least" in clearance.headline.text
