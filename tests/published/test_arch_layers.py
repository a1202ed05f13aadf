"""Which layer decides: complete sets of layers and the headline they make, each found by hand.

Columns: the states of the layers with their chances (usual parts / least parts), the state of the headline, the layer
that makes it, the others in the same state, and how sure.
"""

import csv
import re
from pathlib import Path

import pytest

from estimator.estimate.clearance.layers import Layer, find_headline, find_layer_state
from estimator.inputs.reference.layers import LayerKey, LayerState

ROWS = list(csv.DictReader((Path(__file__).parent / "arch_layers.csv").read_text(encoding="utf-8").splitlines()))
_LAYER = re.compile(r"(\w+)=(\w+)(?: \(([\d.]+)/([\d.]+)\))?")
LEVEL = 0.80


def read_given(row: dict[str, str]) -> tuple[Layer, ...]:
    return tuple(
        Layer(
            key=LayerKey(key),
            state=LayerState(state),
            chance_usual=float(usual) if usual else None,
            chance_least=float(least) if least else None,
        )
        for key, state, usual, least in _LAYER.findall(row["layers (usual/least chance)"])
    )


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_the_worst_layer_that_decides_makes_the_headline(row: dict[str, str]) -> None:
    headline, others = find_headline(read_given(row))
    named = " ".join(layer.key for layer in others)
    assert (headline.state, headline.key) == (row["headline"], row["deciding_layer"])
    assert named == row["others_in_the_same_state"]


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_a_state_follows_from_its_two_chances_by_one_rule(row: dict[str, str]) -> None:
    for layer in read_given(row):
        if layer.chance_usual is not None and layer.chance_least is not None:
            assert find_layer_state(layer.chance_usual, layer.chance_least, LEVEL) is layer.state
