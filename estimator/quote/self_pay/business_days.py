"""The days on which offices are closed, by place: public holidays, observed days included."""

from collections.abc import Iterable
from datetime import date

import holidays

from estimator.base.problems import InputError, Problem


def list_holidays(country: str, subdivision: str, years: Iterable[int]) -> frozenset[date]:
    """Public holidays of a country, and of a state or province where one is named.

    Raises InputError for a place that is not known. An empty country has no holidays.
    """
    if not country:
        return frozenset()
    try:
        days = holidays.country_holidays(country, subdiv=subdivision or None, years=sorted(set(years)))
    except NotImplementedError:
        code, region = ("self_pay.region", subdivision) if subdivision else ("self_pay.country", "")
        expected = {"region": region}
        unknown = Problem(file="profile", path=("self_pay",), code=code, found=country, expected=expected)
        raise InputError([unknown]) from None
    return frozenset(days)
