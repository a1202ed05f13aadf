"""Quotes that are kept: who made which version when, what changed, where each stands, and any of them as it was."""

from collections.abc import Sequence
from dataclasses import replace

import pandas as pd
import streamlit as st

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.inputs.payment.jurisdiction import Profile
from estimator.quote.change_words import name_changed_place, say_values
from estimator.quote.quote import Quote, QuoteChange, QuoteState, find_state, list_next_states
from estimator.quote.versions import has_overrun, is_same, list_changes
from estimator.records.database import RecordsError
from estimator.ui.quote.documents import offer_papers
from estimator.ui.quote.save_dialog import ask_number, ask_who, attempt, get_who, say_outcome
from estimator.ui.quote.saved_quote_view import show_kept_quote
from estimator.ui.quote.saved_versions import Kept, keep_quote, list_kept_quotes, move_quote, stand
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_problems, show_table
from estimator.ui.table.patient_view import turn_screen

_AS = "keep_as"


def show_quote_versions(estimate: CaseEstimate, quote: Quote | None, profile: Profile) -> None:
    """Keep the quote that stands above, then every kept version of this case, and one of them opened."""
    st.header("Kept versions")
    say_outcome("quote")
    try:
        kept, problems = list_kept_quotes()
    except RecordsError as error:
        st.error(f"**The kept quotes cannot be reached.** {show_plain(str(error))}")
        return
    if problems:
        show_problems("Some kept quotes cannot be read", problems, note="They stay as they are; the others are listed.")
    if quote is not None:
        _show_keeping(quote, kept, profile)
    if not kept:
        st.markdown(
            "No quote of this case is kept yet. A kept version never changes; it is kept on this computer only."
        )
        return
    _show_list(kept)
    _show_one(estimate, kept)


def _show_keeping(quote: Quote, kept: Sequence[Kept[Quote]], profile: Profile) -> None:
    latest = {one.record.number: one for one in kept if one.record.reference == quote.reference}
    row = st.columns(3, gap="medium", vertical_alignment="bottom")
    with row[0]:
        ask_who("Made by", "quote")
    before = ask_number(latest, row[1], _AS)
    row[2].button("Keep this quote", key="keep_quote", on_click=_keep, args=(quote, before))
    if session.is_unsaved():
        st.markdown(":small[The case has changes that are not saved; keeping the quote saves them too.]")
    if before is not None:
        _show_difference(quote, before)
        _warn_of_overrun(quote, [one for one in kept if one.record.number == before.record.number], profile)


def _keep(quote: Quote, before: Kept[Quote] | None) -> None:
    with attempt("quote") as outcome:
        name = keep_quote(quote, get_who("quote"), before)
        st.session_state.pop(_AS, None)
        if name:
            outcome.said = f"Kept as {name}, valid until {quote.valid_until.isoformat()}, being prepared."
        elif before is not None:
            outcome.said = f"Nothing changed since {before.name}, so nothing was kept."


def _show_difference(quote: Quote, before: Kept[Quote]) -> None:
    if is_same(before.content, quote):
        st.markdown(f"Nothing has changed since {show_plain(before.name)}.")
        return
    changes = list_changes(before.content, replace(quote, made_by=before.content.made_by))
    with st.expander(f"Changed since {show_plain(before.name)}", expanded=True):
        show_quote_changes(changes)


def show_quote_changes(changes: Sequence[QuoteChange]) -> None:
    """What differs from the version before, in words."""
    wording = files.load_wording()
    if not changes:
        st.markdown(f"{wording.get('quote.changes.other')}.")
        return
    rows = [(name_changed_place(change, wording), *say_values(change, wording)) for change in changes]
    show_table(pd.DataFrame(rows, columns=["What", "Before", "Now"]))


def _warn_of_overrun(quote: Quote, kept: Sequence[Kept[Quote]], profile: Profile) -> None:
    agreed = [one for one in kept if stand(one).state is QuoteState.AGREED]
    if agreed and has_overrun(agreed[-1].content, quote, profile):
        st.warning(
            f"The price was agreed at {agreed[-1].content.total:,} ({show_plain(agreed[-1].name)}) and is now "
            f"{quote.total:,}: more than {profile.overrun_percent:f} % above it. Tell the patient before you go on.",
            icon=None,
        )


def _show_list(kept: Sequence[Kept[Quote]]) -> None:
    show_table(pd.DataFrame([_make_row(one) for one in kept]))


def _make_row(kept: Kept[Quote]) -> dict[str, str]:
    quote, last = kept.content, kept.moves[-1] if kept.moves else None
    since = f"{last.moved_at[:10]}, {last.moved_by}" if last else kept.record.kept_at[:10]
    return {
        "Number": kept.record.number,
        "Version": f"{quote.version}",
        "Made": f"{quote.made_on.isoformat()}, {quote.made_by}",
        "To pay": f"{quote.left:,}",
        "Valid until": quote.valid_until.isoformat(),
        "State": name_state(find_state(stand(kept), session.get_today())),
        "Since": since,
    }


def name_state(state: QuoteState) -> str:
    """A state as it is called: taken home."""
    return files.load_wording().get(f"quote.states.{state}")


def _show_one(estimate: CaseEstimate, kept: Sequence[Kept[Quote]]) -> None:
    names = {one.name: one for one in kept}
    if st.session_state.get("open_version") not in names:
        st.session_state.pop("open_version", None)
    name = st.selectbox("Open a version", list(names), None, key="open_version", placeholder="None is open")
    if name is None:
        return
    opened = names[name]
    st.subheader(show_plain(name), anchor=False)
    _show_state(opened)
    if opened.content.version > 1:
        st.markdown("**Changed since the version before**")
        show_quote_changes(opened.content.changes)
    show_kept_quote(opened.content, estimate.practice.settings.locale)
    offer_papers(estimate, opened.content, place="kept")
    st.button(
        "Show this version at the table", key="turn_screen", on_click=turn_screen, args=(estimate, opened.content)
    )


def _show_state(kept: Kept[Quote]) -> None:
    today = session.get_today()
    quote = stand(kept)
    states = [f"being prepared on {kept.record.kept_at[:10]} by {kept.record.kept_by}"]
    states += [f"{name_state(QuoteState(m.state))} on {m.moved_at[:10]} by {m.moved_by}" for m in kept.moves]
    st.markdown(f"**{name_state(find_state(quote, today)).capitalize()}.** {show_plain('; '.join(states))}.")
    following = list_next_states(quote, today)
    if not following:
        st.markdown("Only a further version can follow.")
        return
    with st.container(horizontal=True):
        for state in following:
            st.button(name_state(state).capitalize(), key=f"move_{state}", on_click=_move, args=(kept, state))


def _move(kept: Kept[Quote], state: QuoteState) -> None:
    with attempt("quote") as outcome:
        move_quote(kept, state, get_who("quote"))
        outcome.said = f"{kept.name} is now: {name_state(state)}."
