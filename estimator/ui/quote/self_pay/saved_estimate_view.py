"""A self-pay estimate as it would be given, or as it was kept: read only."""

from collections.abc import Sequence

import pandas as pd
import streamlit as st

from estimator.inputs.payment.legal_texts import LegalText
from estimator.quote.self_pay.good_faith_estimate import ProviderChange, ProviderGroup, SelfPayEstimate
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_table


def show_estimate(estimate: SelfPayEstimate) -> None:
    """Patient and service, items by provider, what is booked separately, and what has to be said."""
    day = f" on {estimate.service_on.isoformat()}" if estimate.service_on else ", not booked yet"
    born = f", born {estimate.patient.born.isoformat()}" if estimate.patient.born else ""
    st.markdown(
        f"**{show_plain(estimate.title)}** of {estimate.issued_on.isoformat()} for "
        f"{show_plain(estimate.patient.name or 'a patient without a name yet')}{born}.  \n"
        f"{show_plain(estimate.primary_service)}{day}."
    )
    for group in estimate.groups:
        _show_group(group)
    st.markdown(f"**Expected in all {estimate.total:,} {estimate.currency}**")
    if estimate.separate:
        st.markdown("**Booked separately**")
        _show_text(estimate.separate_disclaimer)
        show_table(pd.DataFrame({"What": [one.description for one in estimate.separate],
                                 "Who": [one.provider for one in estimate.separate]}))  # fmt: skip
    for text in estimate.disclaimers:
        _show_text(text)


def _show_group(group: ProviderGroup) -> None:
    who = group.provider
    st.markdown(
        f"**{show_plain(who.name)}**\\: {group.total:,}  \n:small[NPI {show_plain(who.npi or 'missing')}, TIN "
        f"{show_plain(who.tin or 'missing')}, {show_plain(who.state or 'state missing')}, "
        f"{show_plain(who.place or 'place missing')}]"
    )
    rows = [
        {
            "Item": item.description,
            "Quantity": f"{item.quantity}",
            "Diagnosis": ", ".join(item.diagnosis_codes),
            "Service code": item.service_code,
            "Expected charge": f"{item.expected_charge:,}",
        }
        for item in group.items
    ]
    show_table(pd.DataFrame(rows))


def _show_text(text: LegalText) -> None:
    reviewed = "not reviewed yet: have your own lawyer read it"
    if text.reviewed and text.reviewed_on is not None:
        reviewed = f"reviewed by {text.reviewed_by} on {text.reviewed_on.isoformat()}"
    source = show_plain(f"{text.source} ({text.how_sure}); {reviewed}")
    said = text.text
    for gap in ("{where}", "{phone}"):  # nothing was typed for it yet
        said = said.replace(gap, "(still empty)")
    st.markdown(f"{show_plain(said)}  \n:small[{source}]")


def show_estimate_changes(changes: Sequence[ProviderChange], names: dict[str, str], limit: str) -> None:
    """Each provider's total in two versions, and whether a bill so much higher could be disputed."""
    rows = [
        {
            "Provider": names.get(change.provider, change.provider),
            "Before": f"{change.before:,}",
            "Now": f"{change.after:,}",
            "Difference": f"{change.difference:+,}",
            f"{limit} more, or over": "yes" if change.disputable else "no",
        }
        for change in changes
    ]
    show_table(pd.DataFrame(rows))
