"""Self-pay estimates that are kept: versions, and each provider's total against the version before."""

from collections.abc import Sequence

import pandas as pd
import streamlit as st

from estimator.base.problems import InputError
from estimator.inputs.payment.jurisdiction import Profile
from estimator.quote.self_pay.good_faith_estimate import (
    SelfPayEstimate,
    compare_provider_totals,
    get_rules,
    list_missing,
    total_by_provider,
)
from estimator.records.database import RecordsError
from estimator.ui.quote.save_dialog import ask_number, ask_who, attempt, get_who, say_outcome
from estimator.ui.quote.saved_versions import Kept, keep_estimate, list_kept_estimates
from estimator.ui.quote.self_pay.missing_items import blame_missing
from estimator.ui.quote.self_pay.saved_estimate_view import show_estimate, show_estimate_changes
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_problems, show_table

_AS = "keep_estimate_as"


def show_estimate_versions(made: SelfPayEstimate | None, reference: str, profile: Profile) -> None:
    """Keep the estimate, then every kept one of this case, and one of them opened."""
    say_outcome("self_pay")
    try:
        kept, problems = list_kept_estimates()
    except RecordsError as error:
        st.error(f"**The kept estimates cannot be reached.** {show_plain(str(error))}")
        return
    if problems:
        show_problems("Some kept estimates cannot be read", problems, note="They stay as they are.")
    if made is not None:
        _show_keeping(made, kept, reference, profile)
    if kept:
        show_table(pd.DataFrame([_make_row(one) for one in kept]))
        _show_one(kept, profile)


def _show_keeping(
    made: SelfPayEstimate, kept: Sequence[Kept[SelfPayEstimate]], reference: str, profile: Profile
) -> None:
    latest = {one.record.number: one for one in kept if one.record.reference == reference}
    row = st.columns(3, gap="medium", vertical_alignment="bottom")
    with row[0]:
        ask_who("Made by", "self_pay")
    before = ask_number(latest, row[1], _AS)
    row[2].button("Keep this estimate", key="keep_estimate", on_click=_keep, args=(made, reference, before, profile))
    if before is not None:
        _compare(before, made, profile)


def _keep(made: SelfPayEstimate, reference: str, before: Kept[SelfPayEstimate] | None, profile: Profile) -> None:
    with attempt("self_pay") as outcome:
        who, missing = get_who("self_pay"), list_missing(made)
        if missing:
            raise InputError([blame_missing(made, place) for place in missing])
        name = keep_estimate(made, reference, who, before, get_rules(profile).dispute_amount)
        st.session_state.pop(_AS, None)
        if name:
            outcome.said = f"Kept as {name}, {made.title} of {made.issued_on.isoformat()}."
        elif before is not None:
            outcome.said = f"Nothing changed since {before.name}, so nothing was kept."


def _compare(before: Kept[SelfPayEstimate], made: SelfPayEstimate, profile: Profile) -> None:
    """Each provider's total against the version before, with the rule's amount."""
    limit = get_rules(profile).dispute_amount
    changes = compare_provider_totals(total_by_provider(before.content), total_by_provider(made), limit)
    if not [change for change in changes if change.difference]:
        st.markdown(f"No provider's total has changed since {show_plain(before.name)}.")
        return
    st.markdown(f"Each provider's total since {show_plain(before.name)}\\:")
    names = {group.provider.key: group.provider.name for group in (*before.content.groups, *made.groups)}
    show_estimate_changes(changes, names, f"{limit:,}")
    if any(change.disputable for change in changes):
        st.warning(
            f"A bill {limit:,} or more above the estimate that the patient has could be disputed: give a new estimate "
            "in time, before the service.",
            icon=None,
        )


def _make_row(kept: Kept[SelfPayEstimate]) -> dict[str, str]:
    made = kept.content
    return {
        "Number": kept.record.number,
        "Version": f"{made.version}",
        "Document": made.title,
        "Made": f"{made.issued_on.isoformat()}, {kept.record.kept_by}",
        "Service": made.service_on.isoformat() if made.service_on else "not booked yet",
        "Expected": f"{made.total:,}",
    }


def _show_one(kept: Sequence[Kept[SelfPayEstimate]], profile: Profile) -> None:
    names = {one.name: one for one in kept}
    if st.session_state.get("open_estimate") not in names:
        st.session_state.pop("open_estimate", None)
    name = st.selectbox("Open an estimate", list(names), None, key="open_estimate", placeholder="None is open")
    if name is None:
        return
    st.subheader(show_plain(name), anchor=False)
    opened = names[name]
    before = names.get(f"{opened.record.number}, version {opened.content.version - 1}")
    if before is not None and profile.self_pay is not None:
        _compare(before, opened.content, profile)
    show_estimate(opened.content)
