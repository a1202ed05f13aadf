"""Papers about money in another language: numbers, counts, changes, texts of the law, and no English of our own."""

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache

import pytest

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.inputs.payment.model import Lender, Portion
from estimator.inputs.practice.own_translations import OwnTranslation
from estimator.inputs.practice.settings import Paper
from estimator.quote.benefits.claim import give_reason
from estimator.quote.benefits.explanations import Audience, say_reason
from estimator.quote.changes import ChangeKind, ChangeSubject, LinePrice, QuoteChange, TakenOff
from estimator.quote.quote import Quote
from estimator.sheets.base.blocks import Sheet, TableBlock
from estimator.sheets.base.content_hash import list_texts
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.financial_inputs import QuotePapers
from estimator.sheets.base.translation import translate_estimate, translate_papers
from estimator.sheets.registry import KINDS
from tests.builders import TODAY
from tests.edges.test_languages import WIDTHS_MM, judge, list_patient_keys, say_shipped, walk
from tests.quote_builders import CREDIT, DEMO, MESSY, PRACTICE, make_demo_papers, make_demo_quote, make_messy_papers

MONEY = {kind.key: kind for kind in KINDS if kind.key in ("quote", "payment", "benefit", "self_pay")}
SETS = {"demo": (DEMO, make_demo_papers()), "messy": (MESSY, make_messy_papers())}
SPANISH = files.load_wording("es")
_PIECE = re.compile(r"\{\w+\}|\*\*")
_ENGLISH_NUMBER = re.compile(r"\d,\d{3}(?!\d)|\d\.\d{1,2}(?!\d)")


def write(key: str, estimate: CaseEstimate, papers: QuotePapers, language: str = "es") -> Sheet:
    wording = files.load_wording(language)
    told = translate_estimate(estimate, wording)
    job = SheetJob(
        estimate=told.estimate, jaw=told.estimate.jaws[0], wording=wording, day=TODAY,
        text_width_mm=WIDTHS_MM[Paper.LETTER], number="C-1",
        papers=translate_papers(papers, wording, estimate.practice.settings),
    )  # fmt: skip
    return MONEY[key].make(job)


def read(sheet: Sheet) -> str:
    return "\n".join((sheet.title, *list_texts(sheet.blocks), sheet.footer)).replace("\N{NO-BREAK SPACE}", " ")


@cache
def list_english() -> set[str]:
    """Pieces of two words and more of every English text a patient reads, and the texts of the law that ship."""
    english = files.load_wording()
    texts = [english.get(key) for key in list_patient_keys(english)] + [one.text for one in files.load_disclaimers()]
    pieces = {piece.strip(" .,:;()·“”") for text in texts for piece in _PIECE.split(text)}
    own = "\n".join(SPANISH.get(key) for key in list_patient_keys(english))
    return {piece for piece in pieces if " " in piece and len(piece) > 7 and piece not in own}


@pytest.mark.parametrize("case", SETS)
@pytest.mark.parametrize("key", MONEY)
def test_nothing_of_the_english_wording_stands_on_a_spanish_paper(key: str, case: str) -> None:
    said = read(write(key, *SETS[case]))
    labels = {line.label for line in PRACTICE.fees.lines.values()}
    near = (piece for piece in list_english() - labels if piece in said)
    found = {piece for piece in near if re.search(rf"\b{re.escape(piece)}\b", said)}
    assert not found


def test_the_pieces_that_are_looked_for_stand_on_the_english_papers() -> None:
    for key in MONEY:
        said = read(write(key, *SETS["messy"], "en"))
        assert sum(piece in said for piece in list_english()) >= 10, key


@pytest.mark.parametrize("key", MONEY)
def test_numbers_follow_the_language_wherever_they_stand(key: str) -> None:
    """Spanish of Spain is not offered; its locale shows that no sign is typed into a paper."""
    practice = replace(PRACTICE, settings=replace(PRACTICE.settings, locale="en_ES"))
    estimate, papers = SETS["messy"]
    said = read(write(key, replace(estimate, practice=practice), papers))
    assert re.search(r"\d\.\d{3},\d\d(?!\d)", said)
    rule = re.compile(r"45 CFR [\d.]+\(c\)\(1\)(, [\d.]+)?|400\.00")
    assert not _ENGLISH_NUMBER.findall(rule.sub("", said))


@pytest.mark.parametrize(("locale", "rate"), [("en_US", "7.25 %"), ("en_ES", "7,25 %")])
def test_a_rate_is_printed_with_all_its_decimals(locale: str, rate: str) -> None:
    way = replace(CREDIT, rate_percent=Decimal("7.25"))
    practice = replace(PRACTICE, settings=replace(PRACTICE.settings, locale=locale))
    estimate, papers = replace(DEMO, practice=practice), QuotePapers(quote=make_demo_quote(way))
    assert f"Interés: {rate} al año" in read(write("payment", estimate, papers))


@pytest.mark.parametrize("language", ["en", "es"])
def test_what_a_plan_pays_is_said_as_exactly_as_it_is_counted(language: str) -> None:
    reason = give_reason("percentage", percent=Decimal("62.75"), base=Decimal("100.00"))
    wording = files.load_wording(language)
    assert "62.75 %" in say_reason(reason, wording, reader=Audience.PATIENT, locale="en_US", currency="USD")


@pytest.mark.parametrize(("language", "counts", "words"), [
    ("en", (1, 60, 0), "The plan pays for this once in 60 months. On that day none is left."),
    ("en", (2, 1, 1), "The plan pays for this 2 times in 1 month. On that day 1 is left."),
    ("en", (3, 12, 2), "The plan pays for this 3 times in 12 months. On that day 2 are left."),
    ("es", (1, 60, 0), "El plan paga esto una vez en 60 meses. Ese día no queda ninguna."),
    ("es", (2, 1, 1), "El plan paga esto 2 veces en 1 mes. Ese día queda 1."),
    ("es", (3, 12, 2), "El plan paga esto 3 veces en 12 meses. Ese día quedan 2."),
])  # fmt: skip
def test_one_is_not_counted_as_many(language: str, counts: tuple[int, int, int], words: str) -> None:
    times, months, left = counts
    reason = give_reason("frequency", times=times, months=months, left=left)
    wording = files.load_wording(language)
    assert say_reason(reason, wording, reader=Audience.PATIENT, locale="en_US", currency="USD") == words


def list_changes(
    *changes: QuoteChange, language: str = "es", own: tuple[tuple[str, str], ...] = ()
) -> list[tuple[str, ...]]:
    """Rows of the table of what changed."""
    quote: Quote = replace(SETS["demo"][1].get_quote(), version=2, changes=changes)
    settings = replace(PRACTICE.settings, translations=(OwnTranslation(language="es", words=own),))
    estimate = replace(DEMO, practice=replace(PRACTICE, settings=settings))
    blocks = list(walk(write("quote", estimate, QuotePapers(quote=quote), language).blocks))
    head = files.load_wording(language).get("quote_changes.head_before")
    return [row for block in blocks if isinstance(block, TableBlock) and head in block.head for row in block.rows]


TRAY = QuoteChange(
    kind=ChangeKind.LINE,
    subject=ChangeSubject(key="tray_base_rims", label="Tray, base and rims", arch="mandible"),
    before=LinePrice(
        label="Tray, base and rims", quantity=2, unit_fee=Decimal("80.00"), amount=Decimal("160.00"),
        amount_to=Decimal("1200.00"), left=Decimal("160.00"),
    ),
)  # fmt: skip
CHOICE = QuoteChange(
    kind=ChangeKind.OPTIONS,
    before=(("mandible", "Full denture"),),
    after=(("mandible", "Snap-on denture on a bar"),),
)


def test_a_line_that_is_gone_has_its_whole_name_and_its_price() -> None:
    own = (("Tray, base and rims", "Nuestra cubeta, base y rodetes"),)
    for known, name in (((), "Cubeta, base y rodetes"), (own, "Nuestra cubeta, base y rodetes")):
        assert list_changes(TRAY, own=known) == [(name, "2 × 80.00 = 160.00, máximo 1,200.00", "–")]
    (row,) = list_changes(TRAY, language="en")
    assert row[0] == "Tray, base and rims"


@pytest.mark.parametrize(("language", "row"), [
    ("en", ("Your choice", "Full denture (lower jaw)", "Snap-on denture on a bar (lower jaw)")),
    ("es", ("Su opción", "Dentadura completa (maxilar de abajo)", "Dentadura de broches en una barra (maxilar de abajo)")),
])  # fmt: skip
def test_another_choice_is_told_in_the_words_of_the_patient(language: str, row: tuple[str, ...]) -> None:
    assert list_changes(CHOICE, language=language) == [row]


def test_changes_of_texts_currency_and_discounts_have_words_of_the_paper() -> None:
    stops = ChangeSubject(key="treatment_stops")
    text = QuoteChange(kind=ChangeKind.TEXT, subject=stops, after="You pay for what is done, no more.")
    currency = QuoteChange(kind=ChangeKind.CURRENCY, before="USD", after="CAD")
    less = QuoteChange(
        kind=ChangeKind.ADJUSTMENT,
        subject=ChangeSubject(key="1", label="for us"),
        before=TakenOff(reason="for us", percent=Decimal("2.5"), change=Decimal("-10.00")),
        after=TakenOff(reason="for us", percent=Decimal(5), change=Decimal("-20.00")),
    )
    assert list_changes(text, currency, less) == [
        ("Moneda", "dólares estadounidenses", "dólares canadienses"),
        ("Si el tratamiento se detiene", "–", "You pay for what is done, no more."),
        ("For us", "2.5\N{NO-BREAK SPACE}%, −10.00", "5\N{NO-BREAK SPACE}%, −20.00"),
    ]


def test_what_a_practice_gives_in_spanish_takes_the_place_of_its_english_on_every_paper() -> None:
    estimate, papers = SETS["messy"]
    quote = papers.get_quote()
    texts = [one.text for one in quote.texts] + list(quote.tax_reasons)
    texts += [one.adjustment.reason for one in quote.adjusted.applied]
    texts += [text for way in quote.ways if way.box for text in (way.box.late_payment, way.box.paying_early)]
    texts += [way.way.text for way in quote.ways if isinstance(way.way, Lender)]
    texts += [part.what for way in quote.ways for part in way.payments if part.what]
    texts += [papers.get_self_pay().primary_service, "A new upper denture", "Cone-beam CT"]
    own = tuple((text, f"palabra {number:02}") for number, text in enumerate(texts))
    settings = replace(PRACTICE.settings, translations=(OwnTranslation(language="es", words=own),))
    estimate = replace(estimate, practice=replace(PRACTICE, settings=settings))
    said = "\n".join(read(write(key, estimate, papers)) for key in MONEY)
    for english, spanish in own:
        assert spanish in said.lower(), english
        assert " " not in english or english not in said, english


def test_texts_of_the_law_are_in_spanish_with_their_places_filled() -> None:
    said = read(write("self_pay", *SETS["messy"]))
    for words in (
        "Si la factura es más alta por 400.00 o más, usted tiene derecho a disputarla.",
        "se explica aquí: the web page of the agency.", "cuando usted la pida (555 0100)", "Esto es solo una estimación",
    ):  # fmt: skip
        assert words in said


def test_a_text_that_a_lawyer_has_read_stays_in_the_words_that_were_read() -> None:
    estimate, papers = SETS["demo"]
    made = papers.get_self_pay()
    read_by = replace(made.disclaimers[0], reviewed_by="A. Lawyer", reviewed_on=date(2026, 11, 2))
    papers = replace(papers, self_pay=replace(made, disclaimers=(read_by, *made.disclaimers[1:])))
    said = read(write("self_pay", estimate, papers))
    assert made.disclaimers[0].text in said
    assert made.disclaimers[1].text not in said


def test_every_text_of_the_law_that_ships_has_a_plain_translation_with_the_same_places() -> None:
    said = {one.text: say_shipped(f"legal.{one.key}.text", "es") for one in files.load_disclaimers()}
    for english, spanish in said.items():
        assert sorted(re.findall(r"\{\w+\}", english)) == sorted(re.findall(r"\{\w+\}", spanish))
    judge("\n".join(re.sub(r"\{\w+\}", "", text) for text in said.values()), "es")


def test_a_plan_that_counts_a_full_denture_says_so_in_spanish() -> None:
    assert "lo que costaría esto: dentadura completa." in read(write("benefit", *SETS["demo"]))


@pytest.mark.parametrize("percent", ["12.5", "5"])
def test_a_discount_has_the_percentage_that_was_agreed(percent: str) -> None:
    estimate, papers = SETS["messy"]
    quote = papers.get_quote()
    first, *more = quote.adjusted.applied
    first = replace(first, adjustment=replace(first.adjustment, portion=Portion(percent=Decimal(percent))))
    quote = replace(quote, adjusted=replace(quote.adjusted, applied=(first, *more)))
    assert f"Menos {percent} %: " in read(write("quote", estimate, replace(papers, quote=quote)))
