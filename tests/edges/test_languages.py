"""Sheets in another language and in large print: complete, marked while unreviewed, nothing cut, nothing small."""

import io
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from typing import Any

import pypdfium2 as pdfium
import pytest
from pypdf import PdfReader

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.files.reading import load_toml
from estimator.files.shipped_names import list_shipped_names
from estimator.inputs.fees.schedule import FeeTax
from estimator.inputs.practice.own_translations import OwnTranslation, Review
from estimator.inputs.practice.settings import Paper
from estimator.inputs.reference.wording import TranslatedName, Wording, read_wording, take_fingerprint
from estimator.pdf.pen import LARGE, NORMAL
from estimator.pdf.print import make_option_sheet
from estimator.pictures.base.rows import Picture, find_misfits
from estimator.sheets.base.blocks import Block, FigureBlock, Heading, KeepTogether, Paragraph, Sheet, TableBlock
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.readability import count_text, find_grade, find_inflesz, list_prose, split_sentences
from estimator.sheets.base.translation import translate_estimate
from estimator.sheets.option_sheet.summary import write_option_sheet
from estimator.sheets.registry import JAW_KINDS, SheetKind, SheetReader
from tests.builders import TODAY, load_demo_practice
from tests.edges.test_option_sheet import CASES, PRACTICE, squeeze
from tests.papers import find_failures, list_sizes, read_pages

FOR_PATIENTS = tuple(kind for kind in JAW_KINDS if kind.reader is SheetReader.PATIENT)
TRANSLATIONS = tuple(code for code in files.list_languages() if code != "en")
WIDTHS_MM = {Paper.LETTER: 215.9 - 50.8, Paper.A4: 210 - 50.8}
EDITIONS = {"normal": NORMAL, "large": LARGE}
MOST_GRADE, MOST_WORDS, LEAST_INFLESZ = 6.9, 15.0, 65.0
"""Targets of plain language (practice)."""
_PLACE = re.compile(r"\{\w+\}")
_PATIENT = re.compile(
    r"^(?!problems\.|words\.|summary\.|quote\.notices\.|benefits\.(head_office|reason_office|letter|answer))"
    r"|^words\.\w+\.patient"
)


def list_patient_keys(wording: Wording) -> list[str]:
    return [key for key in wording.texts if _PATIENT.search(key)]


@cache
def make_long_wording() -> Wording:
    """English, 40 % longer: every word gets vowels in its middle, and places stay where they are."""
    english = files.load_wording()
    names = {key: TranslatedName(english=text, said=stretch(text)) for key, text in list_shipped_names().items()}
    texts = {key: stretch(text) if _PATIENT.search(key) else text for key, text in english.texts.items()}
    return replace(english, texts=texts, names=names)


def stretch(text: str) -> str:
    parts = re.split(r"(\{\w+\}|[^\w{}]+)", text)
    return "".join(part if _PLACE.fullmatch(part) or not part.isalpha() else stretch_word(part) for part in parts)


def stretch_word(word: str) -> str:
    middle = (len(word) + 1) // 2
    return word[:middle] + "ó" * math.ceil(0.55 * len(word)) + word[middle:]


def list_left(estimate: CaseEstimate, wording: Wording) -> set[str]:
    """Texts of data files that a patient reads and that the language has no words for."""
    return set(translate_estimate(estimate, wording).left)


def make(name: str, language: str = "en", *, paper: Paper = Paper.LETTER, large: bool = False) -> bytes:
    wording = files.load_wording(language)
    return make_option_sheet(CASES[name], 0, wording=wording, today=TODAY, paper=paper, large=large)


def write(
    case: str | CaseEstimate, wording: Wording, *, paper: Paper = Paper.LETTER, edition: str = "normal", kind: SheetKind = JAW_KINDS[0],
    chosen: str = "",
) -> Sheet:  # fmt: skip
    """A sheet as blocks, from the same job that `make_sheet` prints."""
    estimate = CASES[case] if isinstance(case, str) else case
    told, sizes = translate_estimate(estimate, wording), EDITIONS[edition]
    job = SheetJob(
        estimate=told.estimate, jaw=told.estimate.jaws[0], wording=wording, day=TODAY, text_width_mm=WIDTHS_MM[paper],
        number="T-1-1", left_in_english=told.left, small=sizes.small, body=sizes.body, chosen=chosen,
        runs_on=edition == "large" or wording.is_translation,
    )  # fmt: skip
    return kind.make(job)


def read(data: bytes) -> str:
    return squeeze([text.replace("\N{NO-BREAK SPACE}", " ") for text in read_pages(data)])


def walk(blocks: tuple[Block, ...]) -> Iterator[Block]:
    for block in blocks:
        if isinstance(block, KeepTogether):
            yield from walk(block.blocks)
        else:
            yield block


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("kind", FOR_PATIENTS, ids=lambda kind: kind.key)
@pytest.mark.parametrize("name", CASES)
def test_every_sheet_for_patients_is_plain(name: str, kind: SheetKind, language: str) -> None:
    judge("\n".join(list_prose(write(name, files.load_wording(language), kind=kind).blocks)), language)


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_whole_wording_of_sheets_is_plain(language: str) -> None:
    """Each file that a patient reads from, every sentence of it, also those that a case here does not bring up."""
    wording = files.load_wording(language)
    by_file: dict[str, list[str]] = {}
    for key in list_patient_keys(wording):
        text = _PLACE.sub("", wording.get(key).replace("**", ""))
        if key not in wording.borrowed and ".alt" not in key and re.search(r"\w\w[.?!]$", text):
            by_file.setdefault(key.partition(".")[0], []).append(text)
    for texts in by_file.values():
        judge("\n".join(texts), language)


@pytest.mark.parametrize("language", ["en", "es"])
def test_cautions_layers_and_ways_to_make_room_are_plain(language: str) -> None:
    keys = [
        key
        for key, text in list_shipped_names().items()
        if key.startswith(("caution.", "way.", "layer.")) and "{" not in text
    ]
    judge("\n".join(say_shipped(key, language) for key in keys), language)


def say_shipped(key: str, language: str) -> str:
    """A text of a data file in a language; empty where it is not translated."""
    if language == "en":
        return list_shipped_names()[key]
    return next((name.said for name in files.load_wording(language).find_names(key)), "")


def judge(prose: str, language: str) -> None:
    syllables = files.load_syllables()[language]
    counts = count_text(prose, language, syllables)
    longest = sorted(split_sentences(prose), key=lambda one: count_text(one, language, syllables).syllables)
    worst = "\n".join(longest[:-9:-1])
    if language == "es":
        assert find_inflesz(counts) >= LEAST_INFLESZ, worst
    else:
        assert find_grade(counts) <= MOST_GRADE, worst
    assert counts.mean_sentence <= MOST_WORDS, worst


@pytest.mark.parametrize("language", TRANSLATIONS)
def test_a_translation_has_every_text_a_patient_reads_with_the_same_places(language: str) -> None:
    english, own = files.load_wording(), files.load_wording(language)
    made = {key for key in own.texts if key not in own.borrowed}
    files_made = {key.partition(".")[0] for key in made}
    for key in list_patient_keys(english):
        if key.partition(".")[0] in files_made:
            assert key in made, key
    for key in made:
        assert set(_PLACE.findall(own.get(key))) == set(_PLACE.findall(english.get(find_source(key, english)))), key
        assert own.get(key).count("**") % 2 == 0


def read_about(language: str) -> dict[str, Any]:
    """Who made a translation, and the fingerprints of the English it was made from."""
    return load_toml(files.DATA / "wording" / language / "about.toml")


def find_source(key: str, english: Wording) -> str:
    """English may have fewer forms of a text than another language."""
    return key if english.has(key) else re.sub("_(zero|one|two|few|many)$", "_other", key)


@pytest.mark.parametrize("language", TRANSLATIONS)
def test_a_translation_was_made_from_the_english_as_it_stands(language: str) -> None:
    """Where this fails, look at the translation of what changed, then write the new fingerprint into about.toml."""
    english, source = files.load_wording(), read_about(language)["source"]
    for name, fingerprint in source.items():
        keys = [key for key in list_patient_keys(english) if key.startswith(f"{name}.")]
        assert take_fingerprint({key: english.get(key) for key in keys}) == fingerprint, name


@pytest.mark.parametrize("language", TRANSLATIONS)
def test_the_names_of_a_translation_were_made_from_the_english_of_the_data_files_as_it_stands(language: str) -> None:
    """Where this fails, look at the translation of what changed, then write the new fingerprint into about.toml."""
    shipped, said = list_shipped_names(), files.load_wording(language).names or {}
    sorts = {key.partition(".")[0] for key in said}
    found = {
        sort: take_fingerprint({key: shipped[key] for key in said if key.startswith(f"{sort}.")}) for sort in sorts
    }
    assert found == read_about(language)["names"]


@pytest.mark.parametrize("language", TRANSLATIONS)
def test_a_translation_says_nothing_by_a_key_that_no_data_file_has(language: str) -> None:
    folder = files.DATA / "wording" / language / "names"
    read = {
        key for path in folder.glob("*.toml") for key in read_wording({"": load_toml(path)}, language=language).texts
    }
    assert read - set(list_shipped_names()) == set()


@pytest.mark.parametrize("language", TRANSLATIONS)
def test_a_translation_names_everything_that_data_files_say_to_a_patient(language: str) -> None:
    """Citations and places in them may stay as they are."""
    missing = [key for key in list_shipped_names() if not say_shipped(key, language)]
    assert [key for key in missing if not key.startswith("source.") and not key.endswith(".place")] == []
    left = set().union(*(list_left(estimate, files.load_wording(language)) for estimate in CASES.values()))
    assert left == set()


def test_a_language_without_names_leaves_everything_and_says_so() -> None:
    left = list_left(CASES["demo"], replace(files.load_wording(), names={}))
    assert {"Full denture", "Your bite", "mm", "Bar", "refit of the inside", "Block 2023"} <= left


def test_only_one_caution_takes_its_patient_words_from_elsewhere() -> None:
    texts = load_demo_practice().cautions.values()
    assert [text.key for text in texts if "{" in text.patient_text] == ["conversion_not_possible"]


def test_a_spanish_sheet_says_dates_numbers_and_words_in_spanish() -> None:
    text = read(make("demo", "es"))
    for words in (
        "25 de noviembre de 2026", "Tiene cuatro opciones.", "Usted tiene 11.5 mm", "sobra espacio: 0.75 mm",
        "8,590 para empezar, después unos 6,420", "dólares estadounidenses", "1 de ", "español sin revisar",
        "Muchos broches sujetan muy fuerte.", "unas 5.7 veces",
    ):  # fmt: skip
        assert words in text, words


def list_texts(sheet: Sheet) -> Iterator[str]:
    for block in walk(sheet.blocks):
        match block:
            case Heading():
                yield block.text
            case Paragraph():
                yield "".join(span.text for span in block.text)
            case TableBlock():
                yield from (cell for row in (block.head, *block.rows) for cell in row)
            case FigureBlock():
                yield block.alt
            case _:
                pass


@pytest.mark.parametrize("locale", ["en_US", "en_GB"])
def test_the_file_says_its_language(locale: str) -> None:
    practice = replace(PRACTICE, settings=replace(PRACTICE.settings, locale=locale))
    estimate = replace(CASES["demo"], practice=practice)
    for language, expected in (("en", locale.replace("_", "-")), ("es", "es-US" if locale == "en_US" else "es-419")):
        data = make_option_sheet(
            estimate, 0, wording=files.load_wording(language), today=TODAY, paper=practice.settings.paper
        )
        assert str(PdfReader(io.BytesIO(data)).root_object["/Lang"]) == expected


def test_a_comma_as_decimal_sign_reaches_every_picture() -> None:
    """Spanish of Spain is not offered; its locale shows that no sign is typed into a picture."""
    practice = replace(PRACTICE, settings=replace(PRACTICE.settings, locale="en_ES"))
    wording = files.load_wording("es")
    told = translate_estimate(replace(CASES["demo"], practice=practice), wording)
    job = SheetJob(
        estimate=told.estimate, jaw=told.estimate.jaws[0], wording=wording, day=TODAY, text_width_mm=165.1, number="1"
    )  # fmt: skip
    figures = [block for block in walk(write_option_sheet(job).blocks) if isinstance(block, FigureBlock)]
    said = " ".join(shape.text for figure in figures for shape in figure.shapes if hasattr(shape, "text"))
    said += " ".join(figure.alt for figure in figures)
    for words in ("11,5", "20.000", "+0,75", "0,75\N{NO-BREAK SPACE}mm", "5,7 veces"):
        assert words in said, words
    assert not re.search(r"\d\.\d\d(?!\d)|\d,\d{3}", said)


@pytest.mark.parametrize(("number", "expected"), [(1, "1 semana"), (2, "2 semanas")])
def test_one_week_is_not_said_as_many(number: int, expected: str) -> None:
    wording = files.load_wording("es")
    assert wording.say(wording.choose_plural("option_sheet.time.weeks", number), weeks=number) == expected


def test_a_language_with_more_forms_chooses_among_them() -> None:
    texts = {"x_one": "tydzień", "x_few": "tygodnie", "x_many": "tygodni", "x_other": "tygodnia"}
    polish = Wording(language="pl", texts=texts, names={})
    assert [polish.get(polish.choose_plural("x", n)) for n in (1, 2, 5)] == ["tydzień", "tygodnie", "tygodni"]


REVIEW = Review(
    reviewed_by="A. Example", qualification="certified translator", reviewed_on=date(2026, 11, 20),
    fingerprint=files.load_wording("es").fingerprint,
)  # fmt: skip


@pytest.mark.parametrize(("review", "words"), [
    (REVIEW, "traducción revisada por A. Example, certified translator, 20 de noviembre de 2026"),
    (replace(REVIEW, fingerprint="00000000"), "español sin revisar"),
])  # fmt: skip
def test_a_review_is_named_and_ends_when_the_texts_change(review: Review, words: str) -> None:
    settings = replace(PRACTICE.settings, translations=(OwnTranslation(language="es", review=review),))
    estimate = replace(CASES["demo"], practice=replace(PRACTICE, settings=settings))
    data = make_option_sheet(estimate, 0, wording=files.load_wording("es"), today=TODAY, paper=Paper.LETTER)
    assert words in read(data)


def test_an_english_sheet_says_nothing_of_a_translation() -> None:
    assert "translation" not in read(make("demo"))


def test_what_has_no_translation_stays_english_and_the_sheet_says_so() -> None:
    options = tuple(replace(option, patient_name=f"{option.patient_name}, new") for option in PRACTICE.options)
    jaw = CASES["demo"].jaws[0]
    made = tuple(replace(e, patient_name=f"{e.patient_name}, new") for e in jaw.estimates)
    estimate = replace(
        CASES["demo"], practice=replace(PRACTICE, options=options), jaws=(replace(jaw, options=made),)
    )  # fmt: skip
    data = make_option_sheet(estimate, 0, wording=files.load_wording("es"), today=TODAY, paper=Paper.LETTER)
    assert "Full denture, new" in read(data)
    assert "Algunas palabras de esta hoja siguen en inglés." in read(data)
    assert "siguen en inglés" not in read(make("demo", "es"))


def test_a_practice_says_its_own_texts_in_the_language() -> None:
    own = OwnTranslation(language="es", words=(("at the start", "al comenzar"), ("Tooth trial", "Prueba de dientes")))
    estimate = replace(
        CASES["demo"], practice=replace(PRACTICE, settings=replace(PRACTICE.settings, translations=(own,)))
    )  # fmt: skip
    text = read(make_option_sheet(estimate, 0, wording=files.load_wording("es"), today=TODAY, paper=Paper.LETTER))
    assert "en tres partes: al comenzar" in text
    assert "Prueba de dientes" in text


def test_why_there_is_no_tax_is_said_in_the_words_of_the_practice_or_the_sheet_says_that_english_is_left() -> None:
    tax = FeeTax(reason="dentures are not taxed here")
    own = OwnTranslation(
        language="es", words=(("dentures are not taxed here", "aquí las dentaduras no pagan impuesto"),)
    )
    for translations, left in (((own,), False), ((), True)):
        settings = replace(PRACTICE.settings, translations=translations)
        practice = replace(PRACTICE, settings=settings, fees=replace(PRACTICE.fees, tax=tax))
        told = translate_estimate(replace(CASES["demo"], practice=practice), files.load_wording("es"))
        assert (tax.reason in told.left) is left
        assert ("aquí" in told.estimate.practice.fees.tax.reason) is not left


@pytest.mark.parametrize("paper", list(Paper))
def test_the_spanish_summary_of_the_demo_case_has_two_pages(paper: Paper) -> None:
    """Others may grow: what follows begins below it, so that no page is left empty."""
    pages = read_pages(make("demo", "es", paper=paper))
    assert "Nadie pagó por esta hoja" in squeeze([pages[1]])
    assert "Lo mismo en números" in pages[2]


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize(("language", "large"), [("es", False), ("es", True), ("en", True)])
@pytest.mark.parametrize("profile", ["ua1", "2a"])
def test_every_language_and_edition_passes_both_standards(name: str, language: str, large: bool, profile: str) -> None:
    """PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2), validated with page-validation (rule)."""
    assert find_failures(make(name, language, large=large), profile) == []


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize(
    ("language", "edition"), [("en", "large"), ("es", "normal"), ("es", "large"), ("long", "normal"), ("long", "large")]
)
def test_no_word_of_a_picture_is_cut_or_runs_into_another(name: str, paper: Paper, language: str, edition: str) -> None:
    wording = make_long_wording() if language == "long" else files.load_wording(language)
    sheet = write(name, wording, paper=paper, edition=edition)
    for figure in (block for block in walk(sheet.blocks) if isinstance(block, FigureBlock)):
        picture = Picture(shapes=figure.shapes, span=figure.span, height=figure.height)
        width = WIDTHS_MM[paper] if figure.width_mm is None else figure.width_mm
        found = find_misfits(picture, width / 25.4 * 72)
        beyond = WIDTHS_MM[paper] / width
        assert not found or (beyond > 1 and not find_misfits(widen(picture, beyond), width * beyond / 25.4 * 72))


def widen(picture: Picture, times: float) -> Picture:
    """A picture narrower than the page on the page: words may run on past its ruler, not past the margin."""
    start, end = picture.span
    return replace(picture, span=(start, start + (end - start) * times))


@pytest.mark.parametrize("edition", EDITIONS)
def test_everything_of_a_language_that_is_much_longer_is_on_the_paper(edition: str) -> None:
    wording = make_long_wording()
    data = make_option_sheet(
        CASES["demo"], 0, wording=wording, today=TODAY, paper=Paper.LETTER, large=edition == "large"
    )  # fmt: skip
    sheet = write("demo", wording, edition=edition)
    foot = re.escape("".join(sheet.footer.split()))
    said = re.sub(rf"{foot}·?\d+{sheet.of_word}\d+", "", "".join(read(data).split()))
    alts = {block.alt for block in walk(sheet.blocks) if isinstance(block, FigureBlock)}
    for text in set(list_texts(sheet)) - alts:
        assert "".join(text.split()) in said, text


def test_the_long_language_is_two_fifths_longer() -> None:
    english, long = files.load_wording(), make_long_wording()
    keys = [key for key in list_patient_keys(english) if len(_PLACE.sub("", english.get(key))) > 40]
    lengths = [sum(len(_PLACE.sub("", wording.get(key))) for key in keys) for wording in (english, long)]
    assert lengths[1] / lengths[0] > 1.4


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("large", "least", "body"), [(False, 12, 14), (True, 15, 18)])
def test_nothing_is_printed_smaller_than_the_edition_allows(
    language: str, large: bool, least: float, body: float
) -> None:
    """Measured in the file, labels of pictures too."""
    for name in ("demo", "upper jaw, six planned on a scan", "measured again, uneven, close together"):
        sizes = list_sizes(make(name, language, large=large))
        assert min(sizes) == least
        assert body in sizes


def test_every_size_that_is_measured_is_one_of_the_scale() -> None:
    assert list_sizes(make("demo", large=True)) <= {LARGE.body, LARGE.small, LARGE.title, LARGE.section}


def test_the_large_edition_draws_the_room_at_the_same_scale() -> None:
    assert "Ten times life size" in read(make("demo", large=True))
    widths = [
        f.width_mm
        for f in walk(write("demo", files.load_wording(), edition="large").blocks)
        if isinstance(f, FigureBlock)
    ]
    plain = [f.width_mm for f in walk(write("demo", files.load_wording()).blocks) if isinstance(f, FigureBlock)]
    assert widths[0] == pytest.approx(plain[0])


def test_pages_of_the_large_edition_can_be_drawn() -> None:
    document = pdfium.PdfDocument(make("demo", "es", large=True))
    assert len(document) > 2
