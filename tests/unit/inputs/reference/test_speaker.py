"""Names and sentences in another language: by key, in the practice's own words first, with numbers as they are read."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.base.told import Name, Told, make_word_key
from estimator.inputs.practice.own_translations import OwnTranslation
from estimator.inputs.practice.settings import Settings
from estimator.inputs.reference.speaker import Speaker, find_speaker
from estimator.inputs.reference.wording import TranslatedName, Wording

NAMES = {
    "option.bar.patient_name": TranslatedName(english="A denture on a bar", said="Una dentadura en barra"),
    "option.bar.conversion.reason": TranslatedName(english="It does not fit.", said="No cabe."),
    "title.self_pay.here": TranslatedName(english="Estimate", said="Estimación"),
    "title.self_pay.there": TranslatedName(english="Faithful estimate", said="Estimación fiel"),
    "caution.stays.patient_text": TranslatedName(english="{reason}", said="{reason}"),
    "legal.dispute.text": TranslatedName(english="From {amount}, see {where}.", said="Vea {where}, desde {amount}."),
}
TEXTS = {
    "room.margin": "faltan {short_mm}",
    "quote.less": "{percent} % menos: {amount}, hasta el {last_day}",
    "quote.of": "{what} ({option})",
    "benefits.paid_one": "{times} en {months}",
    "benefits.paid_other": "{times}, en {months}",
    "benefits.counted.months_one": "1 mes",
    "benefits.counted.months_other": "{number} meses",
}
SPANISH = Wording(language="es", texts=TEXTS, names=NAMES)
BAR = Name(key="option.bar.patient_name", label="A denture on a bar")


def speak(wording: Wording = SPANISH, **own: str) -> Speaker:
    return Speaker(wording=wording, own=own, locale="es_US")


def test_a_name_is_said_by_its_key() -> None:
    assert speak().say(BAR) == "Una dentadura en barra"


def test_the_practices_own_words_come_first() -> None:
    assert Speaker(wording=SPANISH, own={BAR.label: "Nuestra barra"}).say(BAR) == "Nuestra barra"


def test_other_words_under_a_key_that_ships_are_not_taken_for_those_that_ship() -> None:
    speaker = speak()
    assert speaker.say(replace(BAR, label="Our own denture")) == "Our own denture"
    assert list(speaker.left) == ["Our own denture"]


def test_the_words_that_ship_are_not_looked_up_under_another_key() -> None:
    assert speak().say(Name(key="option.mine.patient_name", label=BAR.label)) == BAR.label


def test_what_may_stay_as_it_is_written_is_not_listed_as_left() -> None:
    speaker = speak()
    assert speaker.try_to_say(Name(key="", label="A citation")) == "A citation"
    assert not speaker.left


def test_in_the_language_of_the_data_a_name_is_as_it_was_written() -> None:
    speaker = speak(replace(SPANISH, names=None))
    assert (speaker.say(BAR), speaker.say(Name(key="", label=""))) == (BAR.label, "")
    assert not speaker.left


@pytest.mark.parametrize(("label", "said"), [("Estimate", "Estimación"), ("Faithful estimate", "Estimación fiel")])
def test_of_a_key_with_several_originals_the_one_that_was_written_counts(label: str, said: str) -> None:
    assert speak().say(Name(key="title.self_pay", label=label)) == said


def test_a_key_is_no_part_of_a_longer_word() -> None:
    assert speak().say(Name(key="opt", label=BAR.label)) == BAR.label


def test_a_text_that_was_filled_is_said_with_the_same_values() -> None:
    values = (("amount", "400.00"), ("where", "here"))
    text = Name(key="legal.dispute.text", label="From 400.00, see here.", values=values)
    assert speak().say(text) == "Vea here, desde 400.00."


def test_a_place_that_was_left_open_stays_open() -> None:
    text = Name(key="legal.dispute.text", label="From 400.00, see {where}.", values=(("amount", "400.00"),))
    assert speak().say(text) == "Vea {where}, desde 400.00."


def test_a_name_within_a_text_is_said_too() -> None:
    reason = Name(key="option.bar.conversion.reason", label="It does not fit.")
    text = Name(key="caution.stays.patient_text", label="It does not fit.", values=(("reason", reason),))
    assert speak().say(text) == "No cabe."


@pytest.mark.parametrize(("told", "said"), [
    (Told(key="room.margin", values=(("short_mm", Decimal("0.6")),)), "faltan 0.60 mm"),
    (Told(key="quote.less", values=(("percent", Decimal("12.50")), ("amount", Decimal("1234.5")),
                                    ("last_day", date(2026, 12, 1)))),
     "12.5 % menos: 1,234.50, hasta el 1 de diciembre de 2026"),
    (Told(key="quote.of", values=(("what", Told(key="room.margin", values=(("short_mm", Decimal(1)),))),
                                  ("option", BAR))), "faltan 1.00 mm (Una dentadura en barra)"),
    (Told(key="benefits.paid", values=(("times", 1), ("months", 60))), "1 en 60 meses"),
    (Told(key="benefits.paid", values=(("times", 2), ("months", 1))), "2, en 1 mes"),
])  # fmt: skip
def test_a_sentence_shows_its_values_as_they_are_read(told: Told, said: str) -> None:
    assert speak().tell(told).replace("\N{NO-BREAK SPACE}", " ") == said


def test_an_amount_has_the_decimals_of_its_currency() -> None:
    speaker = replace(speak(), currency="JPY")
    assert speaker.tell(Told(key="quote.of", values=(("what", Decimal(1200)), ("option", BAR)))).startswith("1,200 (")


def test_a_practice_speaks_with_its_own_words_in_its_region() -> None:
    own = OwnTranslation(language="es", words=((BAR.label, "Nuestra barra"),))
    speaker = find_speaker(SPANISH, Settings(locale="en_US", translations=(own,)))
    assert (speaker.say(BAR), speaker.locale) == ("Nuestra barra", "es_US")


@pytest.mark.parametrize(
    ("word", "key"), [("per year", "per_year"), ("mm, SD", "mm_sd"), ("of 100 dentures", "of_100_dentures")]
)
def test_a_short_term_makes_its_own_key(word: str, key: str) -> None:
    assert make_word_key(word) == key
