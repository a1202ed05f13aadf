"""The practice's own terms if something fails: guarantees, and who pays for a remake or a lost implant."""

from collections.abc import Iterable
from dataclasses import dataclass

from estimator.base.declared import Field, FieldKind, Section, read_declared
from estimator.base.fields import Fields
from estimator.base.problems import Problem, offer_names


def _declare_term(key: str, label: str, code: str, *, example: str) -> Field:
    return Field(key=key, kind=FieldKind.LINE, label=label, code=code, longest=400, example=example)


GUARANTEE = _declare_term(
    "guarantee",
    "Guarantee, and for how long",
    "terms.own",
    example='connecting_bar = "Two years on the bar, one year on the small parts."',
)
REMAKE = _declare_term(
    "remake", "Who pays if it is made anew", "terms.own", example='connecting_bar = "We do, for two years."'
)
TERMS = Section(
    key="terms",
    help="What you promise if something fails, in your own words; the consent record leaves lines to fill in.",
    attribute="terms",
    parts=(
        _declare_term("void", "What ends the guarantee", "terms.void", example='"..."'),
        _declare_term("implant_fails", "Who pays if an implant fails", "terms.implant_fails", example='"..."'),
        Section(
            key="guarantee",
            help="By option: what you guarantee, and for how long.",
            names="option",
            each=GUARANTEE,
            attribute="guarantee",
        ),
        Section(
            key="remake", help="By option: who pays if it must be made anew.", names="option", each=REMAKE,
            attribute="remake",
        ),
    ),
)  # fmt: skip
"""The table [terms] of the settings."""


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
    said = read_declared(table, TERMS)
    terms = Terms(
        guarantee=_read_by_option(table, GUARANTEE),
        remake=_read_by_option(table, REMAKE),
        void=said["void"],
        implant_fails=said["implant_fails"],
    )
    table.refuse_others()
    return terms


def _read_by_option(terms: Fields, text: Field) -> tuple[tuple[str, str], ...]:
    table = terms.read_table(text.key)
    if table is None:
        return ()
    return tuple((key, table.read_line(key, code=text.code, longest=text.longest)) for key in table.table)


def find_unknown_terms(terms: Terms, options: Iterable[str], *, file: str) -> list[Problem]:
    """A problem for each term of an option that there is not."""
    known = tuple(options)
    named = [(place, key) for place in ("guarantee", "remake") for key, _ in getattr(terms, place)]
    return [
        Problem(file=file, path=("terms", place), code="known", found=key, expected=offer_names(key, known))
        for place, key in named
        if key not in known
    ]
