"""Self-pay estimates that are kept: versions, and each provider's total against the version before."""

from collections.abc import Sequence

import pandas as pd
import streamlit as st

from estimator.base.problems import InputError
from estimator.inputs.payment.jurisdiction import Profile
from estimator.proposal.numbering import name_version
from estimator.quote.self_pay.good_faith_estimate import (
    SelfPayEstimate,
    compare_provider_totals,
    get_rules,
    list_missing,
    total_by_provider,
)
from estimator.ui.quote.save_dialog import ask_keep, choose_version, get_who, open_shelf
from estimator.ui.quote.saved_versions import Kept, keep_estimate, list_kept_estimates
from estimator.ui.quote.self_pay.missing_items import blame_missing
from estimator.ui.quote.self_pay.saved_estimate_view import show_estimate, show_estimate_changes
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_table


def show_estimate_versions(made: SelfPayEstimate | None, reference: str, profile: Profile) -> None:
    """Keep the estimate, then every kept one of this case, and one of them opened."""
    kept = open_shelf("self_pay", "estimates", list_kept_estimates)
    if kept is None:
        return
    if made is not None:
        _show_keeping(made, kept, reference, profile)
    if not kept:
        return
    show_table(pd.DataFrame([_make_row(one) for one in kept]))
    opened = choose_version(kept, "Open an estimate", "open_estimate")
    if opened is not None:
        _show_one(opened, kept, profile)


def _show_keeping(
    made: SelfPayEstimate, kept: Sequence[Kept[SelfPayEstimate]], reference: str, profile: Profile
) -> None:
    latest = [one for one in kept if one.record.reference == reference and not one.superseded]
    # A further estimate takes the place of the one that the patient has, whatever option it is for.
    same = latest[-1].record.number if latest else ""

    def keep(before: Kept[SelfPayEstimate] | None) -> str:
        who, missing = get_who("self_pay"), list_missing(made)
        if missing:
            raise InputError([blame_missing(made, path) for path in missing])
        name = keep_estimate(made, reference, who, before, get_rules(profile).dispute_amount)
        if not name and before is not None:
            return f"Nothing changed since {before.name}, so nothing was kept."
        return f"Kept as {name}, {made.title} of {made.issued_on.isoformat()}."

    before = ask_keep("self_pay", "Keep this estimate", latest, same, keep)
    if before is not None:
        _compare(before, made, profile)


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


def _show_one(opened: Kept[SelfPayEstimate], kept: Sequence[Kept[SelfPayEstimate]], profile: Profile) -> None:
    earlier = name_version(opened.record.number, opened.record.version - 1)
    before = next((one for one in kept if one.name == earlier), None)
    if before is not None and profile.self_pay is not None:
        _compare(before, opened.content, profile)
    show_estimate(opened.content)
