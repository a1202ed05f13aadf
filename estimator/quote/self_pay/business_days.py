"""The days on which offices are closed, by place: public holidays, observed days included."""

from collections.abc import Iterable
from datetime import date

import holidays

from estimator.base.problems import InputError, free_problem, show_found


def list_holidays(country: str, subdivision: str, years: Iterable[int]) -> frozenset[date]:
    """Public holidays of a country, and of a state or province where one is named.

    Raises InputError for a place that is not known. An empty country has no holidays.
    """
    if not country:
        return frozenset()
    try:
        days = holidays.country_holidays(country, subdiv=subdivision or None, years=sorted(set(years)))
    except NotImplementedError:
        found = " ".join(part for part in (show_found(country), subdivision) if part)
        expected = "a country code such as US, and a state or province of it or nothing"
        raise InputError([free_problem(file="profile", place="self_pay", found=found, expected=expected)]) from None
    return frozenset(days)
