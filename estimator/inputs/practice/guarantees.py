"""The practice's own terms if something fails: guarantees, and who pays for a remake or a lost implant."""

from collections.abc import Iterable
from dataclasses import dataclass

from estimator.base.fields import Fields
from estimator.base.problems import Problem, free_problem, suggest_name

LONGEST_TERM = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """Texts as the practice wrote them; `guarantee` and `remake` by option. Empty where there is none."""

    guarantee: tuple[tuple[str, str], ...] = ()
    remake: tuple[tuple[str, str], ...] = ()
    void: str = ""
    implant_fails: str = ""

    def find_guarantee(self, option: str) -> str:
        """What is guaranteed of an option."""
        return dict(self.guarantee).get(option, "")

    def find_remake(self, option: str) -> str:
        """Who pays when an option must be made anew."""
        return dict(self.remake).get(option, "")

    def list_texts(self) -> tuple[str, ...]:
        """Every text, for the mark that an approval is tied to."""
        by_option = (part for pair in (*self.guarantee, *self.remake) for part in pair)
        return (*by_option, self.void, self.implant_fails)


NO_TERMS = Terms()


def read_terms(fields: Fields) -> Terms:
    """The table [terms]; problems are noted in `fields`."""
    table = fields.read_table("terms")
    if table is None:
        return Terms()
    terms = Terms(
        guarantee=_read_by_option(table, "guarantee"),
        remake=_read_by_option(table, "remake"),
        void=table.read_line("void", expected="what ends the guarantee", longest=LONGEST_TERM),
        implant_fails=table.read_line("implant_fails", expected="who pays if an implant fails", longest=LONGEST_TERM),
    )
    table.refuse_others()
    return terms


def _read_by_option(terms: Fields, name: str) -> tuple[tuple[str, str], ...]:
    table = terms.read_table(name)
    if table is None:
        return ()
    expected = "a text of your own in quotes"
    return tuple((key, table.read_line(key, expected=expected, longest=LONGEST_TERM)) for key in table.table)


def find_unknown_terms(terms: Terms, options: Iterable[str], *, file: str) -> list[Problem]:
    """A problem for each term of an option that there is not."""
    known = tuple(options)
    named = [(place, key) for place in ("guarantee", "remake") for key, _ in getattr(terms, place)]
    return [
        free_problem(file=file, place=f"terms.{place}", found=f"'{key}'", expected=suggest_name(key, known))
        for place, key in named
        if key not in known
    ]
