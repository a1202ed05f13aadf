"""What data files call things and say of them in English, by what each text is: option.connecting_bar.patient_name.

A translation says these texts by the same keys. They are taken from the files as they stand, so that a practice's own
text under such a key is not taken for the one that was translated.
"""

from collections.abc import Iterable, Iterator, Mapping
from itertools import chain
from typing import Any

from estimator.base.told import make_word_key
from estimator.files.reading import load_table, load_toml
from estimator.files.shipped import DATA, find_demo_fees

Document = Mapping[str, Any]
_Named = Iterator[tuple[str, str]]


def list_shipped_names() -> dict[str, str]:
    """The English of every text of data files that a patient may read, by key."""
    options = [load_toml(path) for path in sorted((DATA / "options").glob("*.toml"))]
    variants = load_toml(DATA / "variants.toml")["variants"]
    payment = load_toml(DATA / "payment_words.toml")
    named = chain(
        *(_name_option(option) for option in options),
        _name_visits(options, variants),
        ((f"variant.{one['key']}.patient_name", one["patient_name"]) for one in variants),
        _name_cautions("caution", load_toml(DATA / "cautions.toml")["cautions"]),
        _name_cautions("way", load_toml(DATA / "making_room.toml")["ways"]),
        _name_layers(load_toml(DATA / "layers.toml")["layers"]),
        _name_figures(),
        ((f"source.{key}", text) for key, text in load_toml(DATA / "sources.toml")["sources"].items()),
        ((f"minimum.{row.cells['key']}.label", row.cells["label"]) for row in load_table(DATA / "minima.csv").rows),
        ((f"fee.{row.cells['key']}.label", row.cells["label"]) for row in load_table(find_demo_fees()).rows),
        ((f"legal.{one['key']}.text", one["text"]) for one in load_toml(DATA / "disclaimers.toml")["texts"]),
        _name_titles(),
        _name_alternates(),
        ((f"{sort}.{key}", text) for sort, texts in payment.items() for key, text in texts.items()),
    )
    return {key: text for key, text in named if text}


def _name_option(option: Document) -> _Named:
    key, conversion = option["key"], option.get("conversion", {})
    yield f"option.{key}.patient_name", option["patient_name"]
    yield f"option.{key}.conversion.patient_name", conversion.get("patient_name", "")
    yield f"option.{key}.conversion.reason", conversion.get("reason", "")
    for part in option["stack"]:
        yield f"part.{part['key']}.patient_name", part.get("patient_name") or part["name"]
    for item in option.get("upkeep", ()):
        yield f"upkeep.{item['key']}.patient_label", item.get("patient_label") or item["label"]
    if renewal := option.get("renewal"):
        yield "upkeep.denture_renewal.patient_label", renewal.get("patient_label") or renewal["label"]


def _name_visits(options: Iterable[Document], variants: Iterable[Document]) -> _Named:
    """A visit that two options call by two names is named in each of them."""
    placed = [(option["key"], step) for option in options for step in option["visits"]]
    placed += [(option["key"], option["removal"]) for option in options if "removal" in option]
    placed += [(one["key"], step) for one in variants for rule in one["rules"] for step in rule.get("visits", ())]
    names: dict[str, dict[str, str]] = {}
    for owner, step in placed:
        names.setdefault(step["key"], {})[owner] = step.get("patient_what") or step["what"]
    for key, by_owner in names.items():
        if len(set(by_owner.values())) == 1:
            yield f"visit.{key}.patient_what", next(iter(by_owner.values()))
        else:
            yield from ((f"visit.{key}.patient_what.{owner}", name) for owner, name in by_owner.items())


def _name_cautions(sort: str, texts: Iterable[Document]) -> _Named:
    return ((f"{sort}.{one['key']}.patient_text", one.get("patient_text", "")) for one in texts)


def _name_layers(layers: Iterable[Document]) -> _Named:
    for layer in layers:
        yield f"layer.{layer['key']}.patient_name", layer["patient_name"]
        for word, sentence in layer["says"].items():
            for told in ("patient_text", "patient_brief"):
                yield f"layer.{layer['key']}.{word}.{told}", sentence[told]


def _name_figures() -> _Named:
    for row in load_table(DATA / "evidence.csv").rows:
        cells = row.cells
        yield f"figure.{cells['key']}.name", cells["name"]
        yield f"figure.{cells['key']}.place", cells["place"]
        yield f"unit.{make_word_key(cells['unit'])}", cells["unit"]


def _name_titles() -> _Named:
    """The titles of papers: what a place calls a quote, a benefit estimate, a self-pay estimate."""
    for path in sorted((DATA / "profiles").glob("*.toml")):
        profile = load_toml(path)
        yield from ((f"title.{kind}.{profile['key']}", title) for kind, title in profile.get("titles", {}).items())


def _name_alternates() -> _Named:
    """What the plans of the demo count in the place of a line."""
    for path in sorted((DATA / "demo" / "plans").glob("*.toml")):
        for one in load_toml(path).get("alternates", ()):
            yield f"alternate.{make_word_key(one['instead'])}", one["instead"]
