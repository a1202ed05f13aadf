"""Every paper of a case, read by pypdf, beside the statement of its JSON: no two papers tell anything differently.

Nothing of the package's own writing of numbers, days or sentences is used here: what a paper says is read back by what
stands below, and JSON comes as a user gets it, from the command line.
"""

import json
import re
import shutil
import tomllib
from collections.abc import Iterator
from contextlib import redirect_stdout
from copy import deepcopy
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from estimator.cli import main
from tests.builders import CHECKOUT, TWO_WAYS

Json = dict[str, Any]
Papers = dict[str, str]
DEMO = CHECKOUT / "estimator" / "data" / "demo"
TWO_JAWS = """
reference = "C-2"
[[jaws]]
arch = "maxilla"
implants = 6
variants = ["sedation"]
[[jaws]]
arch = "mandible"
implants = 2
implants_present = true
measurement = { method = "mounted_casts", landmark = "soft_tissue_crest", set_up_accepted = true }
sites = [{ tooth = "43", restorative_space_mm = 7.65 }, { tooth = "33", restorative_space_mm = 9 }]
[proposal]
years = 15
chosen = { maxilla = "individual_attachments", mandible = "connecting_bar" }
"""
MESSY = (
    """
[proposal]
start_on = 2027-03-01
chosen = { mandible = "connecting_bar" }
adjustments = [{ reason = "courtesy", percent = 7 }, { reason = "wait", amount = 133.33 }]
"""
    + TWO_WAYS
    + """
[[proposal.ways]]
kind = "instalments"
key = "monthly"
label = "monthly"
number = 24
first = 2031-01-31
rate_percent = 9.9
set_up_fee = 50
[proposal.help]
state = "none"
"""
)
CASES = {"demo": "", "two jaws": TWO_JAWS, "messy": MESSY}
SAMPLES = [
    ("demo", "en", False), ("demo", "es", True), ("two jaws", "en", True), ("two jaws", "es", False),
    ("messy", "en", False), ("messy", "es", False),
]  # fmt: skip
"""Each case in both languages, each language in both editions."""
MONTHS = {
    "en": (
        "January", "February", "March", "April", "May", "June",
        "July", "August", "September", "October", "November", "December",
    ),
    "es": (
        "enero", "febrero", "marzo", "abril", "mayo", "junio",
        "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre",
    ),
}  # fmt: skip
DAY = {"en": r"(?P<m>{}) (?P<d>\d+), (?P<y>\d{{4}})", "es": r"(?P<d>\d+) de (?P<m>{}) de (?P<y>\d{{4}})"}
FINDINGS = {
    "en": {
        ("height", "room"): r"room to spare: ([\d.]+) mm",
        ("height", "close"): r"close: chance (\d+) to (\d+) in 100",
        ("height", "not_enough"): r"not enough room in your jaw: ([\d.]+) mm short",
        ("height", "not_measured"): r"not measured yet: usually needs ([\d.]+) mm",
        ("along", "close"): r"close: \d of \d snaps have room; for all, chance (\d+) to (\d+) in 100",
        ("along", "not_enough"): r"not enough room on the bar: \d of \d snaps",
        ("along", "not_measured"): r"not measured yet: how far apart your implants are",
    },
    "es": {
        ("height", "room"): r"sobra espacio: ([\d.]+) mm",
        ("height", "close"): r"justo: probabilidad de (\d+) a (\d+) en 100",
        ("height", "not_enough"): r"no hay espacio suficiente en su boca: faltan ([\d.]+) mm",
        ("height", "not_measured"): r"sin medir: lo normal es ([\d.]+) mm",
        ("along", "close"): r"justo: caben \d de \d broches; todos, con probabilidad de (\d+) a (\d+) en 100",
        ("along", "not_enough"): r"no hay espacio suficiente en la barra: \d de \d broches",
        ("along", "not_measured"): r"sin medir: qué distancia hay entre sus implantes",
    },
}
"""What a patient reads of the layer that decides, by its state."""
TRIPS = {"en": r"(\d+) week ([\d.]+) ([\d.]+) weeks?", "es": r"(\d+) semana ([\d.]+) ([\d.]+) semanas?"}
EXCLUDED = {"en": r"Not included: (.*?)\.", "es": r"No incluye: (.*?)\."}
FOOT = r"(?: \S+ C-\d+[^,.]*? \d+ (?:of|de) \d+)? "
"""Between two words of a sentence that goes on overleaf."""
LONGEST_MM = 40
BORN = "1951-05-02"
"""The day in the demo's case file."""


def print_papers(folder: Path, case: str, language: str, large: bool) -> tuple[Json, Papers]:
    """What the command line tells of a case as JSON, and the text of each paper that it prints of it."""
    practice, path = folder / "practice", folder / "case.toml"
    shutil.copytree(DEMO, practice)
    settings = practice / "settings.toml"
    demo = (DEMO / "case.toml").read_text(encoding="utf-8")
    if case == "messy":
        taxed = settings.read_text(encoding="utf-8").replace("[tax]", "[tax]\nlaboratory = 0.0725")
        settings.write_text(taxed, encoding="utf-8")
    path.write_text(CASES[case] if case == "two jaws" else demo + CASES[case], encoding="utf-8")
    arguments = [
        "--practice",
        str(practice),
        "--fees",
        str(CHECKOUT / "demo_fees.csv"),
        "--language",
        language,
        "--json",
    ]
    arguments += ["--out", str(folder / "out"), "--sheets", "all", *(["--large-print"] if large else [])]
    arguments += ["--option", "connecting_bar"] if case == "demo" else []
    with redirect_stdout(StringIO()) as out:
        assert main(["estimate", str(path), *arguments]) == 0
    return json.loads(out.getvalue()), {one.stem: read_paper(one) for one in (folder / "out").glob("*.pdf")}


def read_paper(path: Path) -> str:
    text = " ".join(page.extract_text() for page in PdfReader(path).pages)
    return " ".join(text.replace("\N{MINUS SIGN}", "-").split())


def write(amount: str | Decimal, decimals: int = 2) -> str:
    whole, _, cents = f"{Decimal(amount).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP):f}".partition(".")
    grouped = re.sub(r"(?<=\d)(?=(\d{3})+$)", ",", whole)
    return f"{grouped}.{cents}" if cents else grouped


def list_numbers(value: Any) -> Iterator[Decimal]:
    if isinstance(value, dict | list):
        for one in value.values() if isinstance(value, dict) else value:
            yield from list_numbers(one)
    elif isinstance(value, str) and re.fullmatch(r"-?\d+(\.\d+)?", value):
        yield abs(Decimal(value))


def list_days(value: Any) -> set[str]:
    return set(re.findall(r"\"(\d{4}-\d\d-\d\d)\"", json.dumps(value)))


def read_days(text: str, language: str) -> set[str]:
    found = re.finditer(DAY[language].format("|".join(MONTHS[language])), text)
    return {date(int(one["y"]), MONTHS[language].index(one["m"]) + 1, int(one["d"])).isoformat() for one in found}


def find_disagreements(shown: Json, papers: Papers, language: str) -> Iterator[str]:
    """What some paper says otherwise than the statement, or what it does not say and should."""
    told = shown["statement"]
    for number, jaw in enumerate(told["jaws"], 1):
        option, consent = (
            papers[f"{sort}_{told['reference']}_{jaw['arch']}"] for sort in ("option_sheet", "consent_record")
        )
        yield from check_jaw(jaw, told, option, consent, language)
        for name in ("option_sheet", "consent_record"):
            if f"{told['reference']}-{number}" not in papers[f"{name}_{told['reference']}_{jaw['arch']}"]:
                yield f"{name}, {jaw['arch']}: its number"
    yield from check_quote(told, papers, language)
    for name, text in papers.items():
        if name.startswith(("option", "consent", "care", "trial", "quote", "payment")):
            yield from (f"{name}: {what}" for what in find_strange(shown, text, language))


def check_jaw(jaw: Json, told: Json, option: str, consent: str, language: str) -> Iterator[str]:
    offers, arch = jaw["offers"], jaw["arch"]
    for offer in offers:
        later = offer["later"]["upkeep_shown"]
        row = rf"{re.escape(write(offer['price']['total']))} \D* ?{write(later['expected'], 0)} \({write(later['low'], 0)} \w+ {write(later['high'], 0)}\)"
        if jaw["chosen"] in (None, offer["key"]) and not re.search(row, consent):
            yield f"consent, {arch}: {row}"
        wanted = [
            write(offer["price"]["total"]),
            *(write(offer["later"]["total_shown"][end], 0) for end in ("low", "high")),
        ]
        yield from (f"option sheet, {arch}, {offer['key']}: {one}" for one in wanted if one not in option)
    rooms = [(find_state(one), measure(one)) for one in offers]
    said = list_findings(option, language)
    if said[: len(offers)] != rooms or set(said) - set(rooms):
        yield f"option sheet, {arch}: room {said}, not {rooms}"
    times = [
        [Decimal(one["time"][name]) for name in ("trips", "weeks_to_teeth", "weeks_without_teeth")] for one in offers
    ]
    if [[Decimal(number) for number in found] for found in re.findall(TRIPS[language], option)] != times:
        yield f"option sheet, {arch}: trips and weeks are not {times}"
    options = [(arch, one["key"]) for one in offers if jaw["chosen"] in (None, one["key"])]
    for name, text in (("option sheet", option), ("consent", consent)):
        yield from check_exclusions(f"{name}, {arch}", text, told, options, language)


Found = tuple[tuple[str, str], tuple[Decimal, ...]]
"""The layer that decides and its state, and the numbers that are said of it."""


def list_findings(text: str, language: str) -> list[Found]:
    found = [
        (match.start(), (state, tuple(Decimal(number) for number in match.groups())))
        for state, pattern in FINDINGS[language].items()
        for match in re.finditer(pattern, text)
    ]
    return [one for _, one in sorted(found)]


def find_layer(offer: Json) -> Json:
    """The layer that decides; where there is room everywhere it is the room in height that is told."""
    room = offer["room"]
    key = "height" if room["verdict"] == "fits" else room["headline"]
    layer: Json = next(one for one in room["layers"] if one["key"] == key)
    return layer


def find_state(offer: Json) -> tuple[str, str]:
    layer = find_layer(offer)
    return layer["key"], layer["state"]


def measure(offer: Json) -> tuple[Decimal, ...]:
    """What is over the usual height, what is missing, what is usual, or both chances in 100."""
    room, layer = offer["room"], find_layer(offer)
    key, state = find_state(offer)
    if state == "close":
        return tuple(Decimal(min(99, max(1, round(100 * layer[name])))) for name in ("chance_usual", "chance_least"))
    if key != "height":
        return ()
    return (Decimal(room[{"room": "margin_mm", "not_enough": "short_mm", "not_measured": "usual_mm"}[state]]),)


def check_exclusions(name: str, text: str, told: Json, options: list[tuple[str, str]], language: str) -> Iterator[str]:
    with (DEMO / "settings.toml").open("rb") as file:
        words = tomllib.load(file)["translation"]["es"]["words"] if language == "es" else {}
    said = " ".join(re.findall(EXCLUDED[language], text))
    for one in told["exclusions"]:
        charged = any((place["arch"], place["option"]) in options for place in one["charged_in"])
        label = words.get(one["item"]["label"], one["item"]["label"])
        if bool(re.search(FOOT.join(map(re.escape, label.split())), said)) is charged:
            yield f"{name}: {label} is {'' if charged else 'not '}charged, and it says: {said}"


def check_quote(told: Json, papers: Papers, language: str) -> Iterator[str]:
    price, quotes = told["chosen"], {name: text for name, text in papers.items() if name.startswith("quote")}
    ((name, quote),) = quotes.items()
    mark = name[-8:]
    plans = [text for name, text in papers.items() if name.startswith("payment_plan")]
    for text in (quote, *plans):
        yield from (f"mark {one}" for one in (told["reference"], f"{mark[:4]} {mark[4:]}") if one not in text)
    ways = [amount for way in price["ways"] for amount in (way["total"], *(one["amount"] for one in way["series"]))]
    nets = [line["amount"] for line in price["lines"] if Decimal(line["amount"])]
    wanted = [price["total"], price["left"], *ways, *nets, *(one["change"] for one in price["discounts"])]
    yield from (f"quote: {amount}" for amount in wanted if write(amount) not in quote)
    days = {
        told["made_on"],
        told["valid_until"],
        told["price_date"],
        *list_days([way["series"] for way in price["ways"]]),
    }
    yield from (f"quote: {day}" for day in days - read_days(quote, language))
    places = [(one["arch"], one["option"]) for one in told["decided"]]
    yield from check_exclusions("quote", quote, told, places, language)


def find_strange(shown: Json, text: str, language: str) -> Iterator[str]:
    """Amounts, days and missing room that stand on a paper and nowhere in the statement, nor are a sum of its lines.

    Costs of single events later on are in JSON beside the statement; round thousands are on the axes of pictures.
    """
    told = shown["statement"]
    known = {*list_numbers(told), *list_sums(told["chosen"])}
    events = [
        one["cost"]
        for jaw in shown["jaws"]
        for option in jaw["options"]
        for one in option.get("upkeep", {}).get("events", ())
    ]
    rounded = {write(amount, 0) for amount in (*known, *map(Decimal, events))}
    for exact in set(re.findall(r"(?<![\d.,])(?:\d{1,3}(?:,\d{3})+|\d+)\.\d\d(?!\d| ?mm)", text)):
        amount = Decimal(exact.replace(",", ""))
        if amount > LONGEST_MM and amount not in known:
            yield exact
    yield from (
        one
        for one in set(re.findall(r"(?<![\d.,])\d{1,3}(?:,\d{3})+(?![\d.,]*\d)", text)) - rounded
        if not one.endswith(("0,000", "5,000"))
    )
    yield from read_days(text, language) - list_days(told) - {BORN}
    known_rooms = {(find_state(one), measure(one)) for jaw in told["jaws"] for one in jaw["offers"]}
    yield from (f"room {one}" for one in list_findings(text, language) if one not in known_rooms)


def list_sums(price: Json) -> Iterator[Decimal]:
    """By kind and jaw, of all discounts, of payments in a row, and what is owed after signing."""
    for line in price["lines"]:
        for names in (("kind",), ("arch",), ("arch", "kind")):
            same = (one for one in price["lines"] if all(one[name] == line[name] for name in names))
            yield sum((Decimal(one["amount"]) for one in same), Decimal(0))
    yield abs(sum((Decimal(one["change"]) for one in price["discounts"]), Decimal(0)))
    for way in price["ways"]:
        yield Decimal(way["total"]) - Decimal(way["at_signing"])
        yield from (one["number"] * Decimal(one["amount"]) for one in way["series"])


@pytest.mark.parametrize(("case", "language", "large"), SAMPLES)
def test_no_paper_tells_anything_otherwise_than_the_statement(
    case: str, language: str, large: bool, tmp_path: Path
) -> None:
    shown, papers = print_papers(tmp_path, case, language, large)
    assert len(papers) >= 9
    assert not list(find_disagreements(shown, papers, language))


def test_whatever_one_paper_told_wrongly_would_be_found(tmp_path: Path) -> None:
    """A wrong amount, payment, day, verdict, number of trips, mark, exclusion, each planted in one paper alone."""
    shown, papers = print_papers(tmp_path, "demo", "en", False)
    quote = next(name for name in papers if name.startswith("quote"))
    option, consent = "option_sheet_C-1042_mandible", "consent_record_C-1042_mandible"
    planted = [
        (quote, "8,590.00", "8,591.00"), (quote, "2,863.34", "2,863.33"), (option, "4,980.00", "4,990.00"),
        (consent, "8,590.00", "8,950.00"), (option, "room to spare: 3.25", "room to spare: 3.26"),
        (option, "9 week 11", "8 week 11"), (consent, "sedation", "nothing"), (quote, "November 1, 2026", "November 2, 2026"),
        (quote, quote[-4:], "0000"), (consent, "C-1042-1", "C-1042-2"),
    ]  # fmt: skip
    for name, right, wrong in planted:
        assert right in papers[name]
        changed = deepcopy(papers) | {name: papers[name].replace(right, wrong)}
        assert list(find_disagreements(shown, changed, "en")), (name, right)
