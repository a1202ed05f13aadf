"""How easy prose is to read: sentences, words and syllables counted here, and the published formulas over them."""

import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from estimator.sheets.base.blocks import Block, Bullets, KeepTogether, Paragraph, Text, Ticks

_ABBREVIATIONS = re.compile(r"\b(?:Dr|Dra|Mr|Mrs|Ms|Sr|Sra|St|vs|etc|No|e\.g|i\.e|a\.m|p\.m|U\.S|EE|UU)\.")
_SENTENCE_END = re.compile(r"(?<=[.!?…])[\"'”’»)\]]*\s+|\n+")
_WORD = re.compile(r"[^\W\d_]+(?:['’\-][^\W\d_]+)*")
_WHOLE = re.compile(r"[.?!]$")
Overrides = Mapping[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """What the formulas take: words, sentences, syllables."""

    words: int
    sentences: int
    syllables: int

    @property
    def mean_sentence(self) -> float:
        """Words a sentence."""
        return self.words / self.sentences

    @property
    def mean_word(self) -> float:
        """Syllables a word."""
        return self.syllables / self.words


def find_grade(counts: Counts) -> float:
    """Flesch-Kincaid grade, English: years of school (Kincaid et al., Navy report 8-75, 1975)."""
    return 0.39 * counts.mean_sentence + 11.8 * counts.mean_word - 15.59


def find_inflesz(counts: Counts) -> float:
    """Szigriszt-Pazos ease, Spanish, read on the INFLESZ scale: 55 to 65 normal, 65 to 80 rather easy."""
    return 206.835 - 62.3 * counts.mean_word - counts.mean_sentence


def count_text(text: str, language: str, overrides: Overrides | None = None) -> Counts:
    """Counts of a text in `en` or `es`. `overrides` are syllables of words that the rules count wrong."""
    syllables = [count_syllables(word, language, overrides) for word in split_words(text)]
    return Counts(
        words=len(syllables),
        sentences=len(split_sentences(text)),
        syllables=sum(syllables),
    )


def split_sentences(text: str) -> tuple[str, ...]:
    """Sentences with a word in them; a line break ends one, a decimal point and an abbreviation do not."""
    text = _ABBREVIATIONS.sub(lambda found: found[0].replace(".", ""), text)
    text = re.sub(r"(?<=\d)\.(?=\d)", "·", text)
    parts = (part.strip(" •–-\t") for part in _SENTENCE_END.split(text))
    return tuple(part for part in parts if _WORD.search(part))


def split_words(text: str) -> tuple[str, ...]:
    """Words; digits are none, and a hyphen or an apostrophe inside one does not part it."""
    return tuple(_WORD.findall(text))


def count_syllables(word: str, language: str, overrides: Overrides | None = None) -> int:
    """Syllables of a word, one at the least."""
    word = unicodedata.normalize("NFC", word.lower()).replace("’", "'").strip("'")
    known = (overrides or {}).get(word)
    if known is not None:
        return known
    if "-" in word:
        return sum(count_syllables(part, language, overrides) for part in word.split("-") if part)
    return max(1, _COUNTERS[language](word))


# English: groups of vowels, less an e at the end that is written and not spoken, more vowels that are spoken apart.
_SILENT = re.compile(
    r"(?<=[^aeiouyl])e$|(?<=[aeiouy]l)e$|(?<=[^aeioutdy])e(?=d$)|(?<=[^aeiouylscgzxh])e(?=s$)|(?<=[aeiouy]l)e(?=s$)"
    r"|(?<=[aeiouy][^aeiouyl])e(?=ly$|ful|less|ment$)"
)
_SOFT = re.compile(r"(?<=[tscg])i(?=on|ou|al|an|en)|(?<=q)u|(?<=g)u(?=[aeiou])|^y(?=[aeiou])")
_APART = re.compile(r"i(?=[ao])|e(?=o(?!u))|u(?=[ao])|[aeoy](?=ing)|(?<=s)m$")


def _count_english(word: str) -> int:
    spoken = _SOFT.sub("", _SILENT.sub("", re.sub(r"'s$", "", word)))
    return len(re.findall(r"[aeiouy]+", spoken)) + len(_APART.findall(spoken))


# Spanish: strong vowels (a e o) part from each other, an accented weak one parts from a strong one, h does not part.
_STRONG, _WEAK_ACCENTED = frozenset("aeoáéó"), frozenset("íú")


def _count_spanish(word: str) -> int:
    word = re.sub(r"qu(?=[eiéí])", "k", word)
    word = re.sub(r"gu(?=[eiéí])", "g", word)
    word = re.sub(r"(?<=[aeiouáéíóúü])h(?=[aeiouáéíóúü])", "", word)
    word = re.sub(r"y(?![aeiouáéíóúü])", "i", word)
    groups: list[str] = re.findall(r"[aeiouáéíóúü]+", word)
    return sum(1 + sum(map(_part, group, group[1:])) for group in groups)


def _part(first: str, second: str) -> bool:
    both = {first, second}
    return first == second or both <= _STRONG or bool(both & _WEAK_ACCENTED and both & _STRONG)


_COUNTERS: dict[str, Callable[[str], int]] = {"en": _count_english, "es": _count_spanish}
MEASURES: dict[str, Callable[[Counts], float]] = {"en": find_grade, "es": find_inflesz}
"""How each language that can be measured is: by years of school, lower is easier, or by ease, higher is easier."""


def list_prose(blocks: tuple[Block, ...]) -> tuple[str, ...]:
    """The prose of blocks: paragraphs in body size, lists, sentences to tick; no headings, tables, pictures."""
    return tuple(_list_prose(blocks))


def _list_prose(blocks: tuple[Block, ...]) -> Iterator[str]:
    for block in blocks:
        match block:
            case Paragraph(small=False):
                yield _join(block.text)
            case Bullets():
                yield from map(_join, block.items)
            case Ticks():
                yield from (text for text in (_join(item.text) for item in block.items) if _WHOLE.search(text))
            case KeepTogether():
                yield from _list_prose(block.blocks)
            case _:
                pass


def _join(text: Text) -> str:
    return "".join(span.text for span in text)
