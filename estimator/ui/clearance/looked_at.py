"""What was looked at: each layer of the check with its sign, its state and its reason."""

import base64

import streamlit as st

from estimator import files
from estimator.estimate.clearance.layers import Layer
from estimator.estimate.clearance.verdict import VERDICTS, Clearance
from estimator.inputs.reference.layers import LayerKey
from estimator.inputs.reference.wording import Wording
from estimator.pictures.base.look import Colours
from estimator.pictures.base.shapes import DOT_STEP, SIGNS, Mark, list_dots
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import current_colours

_SIZE = 18


def show_layers(clearance: Clearance) -> None:
    """Sign, name, state and reason of every layer that was asked; which decides, and which only warn."""
    words, colours = files.load_wording(), current_colours()
    st.header("What was looked at", anchor=False)
    for layer in clearance.layers:
        if layer.text:
            st.markdown(_tell_layer(layer, clearance, words, colours))


def _tell_layer(layer: Layer, clearance: Clearance, words: Wording, colours: Colours) -> str:
    state, along = words.get(f"words.layer.{layer.state}"), clearance.along
    sign: tuple[Mark, ...] = (
        Mark(x=0, y=0, sign=VERDICTS[layer.state].value, size=_SIZE * 0.8, edge=None, dx=_SIZE / 2),
    )
    wide = 1.0
    if layer.key is LayerKey.ALONG and along and along.places is not None:
        places = min(along.places, along.attachments)
        sign, wide = list_dots(places, along.attachments, x=0, y=0, size=_SIZE), along.attachments * DOT_STEP
        state = f"{state}, {places} of {along.attachments}"
    mark = "\\: this decides" if layer == clearance.headline else "" if layer.may_rule_out else " (warns only)"
    name = show_plain(layer.name[:1].upper() + layer.name[1:])
    picture = f"![]({_write_svg(sign, wide * _SIZE, colours)})"
    return f"{picture} {name} **{state}{mark}**  \n:small[{show_plain(layer.text)}]"


def _write_svg(marks: tuple[Mark, ...], width: float, colours: Colours) -> str:
    """Marks as a picture for a line of text; the word beside it says the same, so that it needs none of its own."""
    shapes = "".join(_write_mark(mark, colours) for mark in marks)
    box = f"0 {-_SIZE / 2:g} {width:g} {_SIZE:g}"
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}" height="{_SIZE}" viewBox="{box}">{shapes}</svg>'
    return f"data:image/svg+xml;base64,{base64.b64encode(svg.encode()).decode()}"


def _write_mark(mark: Mark, colours: Colours) -> str:
    fill, half = colours[mark.fill or "paper"], mark.size / 2
    if mark.sign not in SIGNS:
        return f'<circle cx="{mark.dx:g}" cy="0" r="{half:g}" fill="{fill}"/>'
    corners = (" ".join(f"{mark.dx + x * half:.2f},{y * half:.2f}" for x, y in polygon) for polygon in SIGNS[mark.sign])
    return "".join(f'<polygon points="{points}" fill="{fill}"/>' for points in corners)
