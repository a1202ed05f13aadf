"""Quotes that are kept: who made which version when, what changed, where each stands, and any of them as it was."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import pandas as pd
import streamlit as st

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.inputs.payment.jurisdiction import Profile
from estimator.proposal.states import WhyNot, find_state, list_doubts, list_next_states, list_obstacles
from estimator.quote.change_words import name_arch, name_changed_place, say_values
from estimator.quote.changes import QuoteChange
from estimator.quote.quote import Quote, QuoteState
from estimator.quote.versions import has_overrun, is_same, list_changes
from estimator.records.quotes import Move
from estimator.ui.quote.documents import offer_papers
from estimator.ui.quote.save_dialog import ask_keep, attempt, choose_version, get_who, open_shelf
from estimator.ui.quote.saved_quote_view import show_kept_quote
from estimator.ui.quote.saved_versions import Kept, find_standing, keep_quote, list_kept_quotes, move_quote, stand
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.offer import Offered
from estimator.ui.shell.render import show_table
from estimator.ui.table.patient_view import turn_screen

_CONFIRM = "confirm_move"
_WHY_NOT = {
    WhyNot.LAST_DAY: "its last day is past",
    WhyNot.SUPERSEDED: "a further version has taken its place",
}


def show_quote_versions(estimate: CaseEstimate, offered: Offered | None, profile: Profile) -> None:
    """Keep the quote that is offered above, then every kept version of this case, and one of them opened."""
    st.header("Kept versions")
    kept = open_shelf("quote", "quotes", list_kept_quotes)
    if kept is None:
        return
    if offered is not None and offered.statement.quote is not None:
        _show_keeping(offered, offered.statement.quote, kept, profile)
    if not kept:
        st.markdown(
            "No quote of this case is kept yet. A kept version never changes; it is kept on this computer only."
        )
        return
    show_table(pd.DataFrame([_make_row(one) for one in kept]))
    opened = choose_version(kept, "Open a version", "open_version")
    if opened is not None:
        _show_one(estimate, opened)


def _show_keeping(offered: Offered, quote: Quote, kept: Sequence[Kept[Quote]], profile: Profile) -> None:
    latest = [one for one in kept if one.record.reference == quote.reference and not one.superseded]
    same = next((one.record.number for one in reversed(latest) if one.content.options == quote.options), "")

    def keep(before: Kept[Quote] | None) -> str:
        name = keep_quote(offered, quote, get_who("quote"), before)
        if not name and before is not None:
            return f"Nothing changed since {before.name}, so nothing was kept."
        return f"Kept as {name}, valid until {quote.valid_until.isoformat()}, being prepared."

    before = ask_keep("quote", "Keep this quote", latest, same, keep)
    if session.is_unsaved():
        st.markdown(":small[The case has changes that are not saved; keeping the quote saves them too.]")
    if before is not None:
        _show_difference(quote, before)
        _warn_of_overrun(quote, [one for one in kept if one.record.number == before.record.number], profile)


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


def _make_row(kept: Kept[Quote]) -> dict[str, str]:
    quote, last = kept.content, kept.moves[-1] if kept.moves else None
    since = f"{last.moved_at[:10]}, {last.moved_by}" if last else kept.record.kept_at[:10]
    return {
        "Number": kept.record.number,
        "Version": f"{quote.version}",
        "Made": f"{quote.made_on.isoformat()}, {quote.made_by}",
        "To pay": f"{quote.left:,}",
        "Valid until": quote.valid_until.isoformat(),
        "State": name_state(find_state(find_standing(kept), session.get_today())),
        "Since": since,
    }


def name_state(state: QuoteState) -> str:
    """A state as it is called: taken home."""
    return files.load_wording().get(f"quote.states.{state}")


def _show_one(estimate: CaseEstimate, opened: Kept[Quote]) -> None:
    quote = stand(opened)
    _show_state(opened)
    if quote.version > 1:
        st.markdown("**Changed since the version before**")
        show_quote_changes(quote.changes)
    show_kept_quote(quote, estimate.practice.settings.locale)
    offer_papers(estimate, quote, place="kept", confirmed_on=_find_confirmed(opened))
    st.button("Show this version at the table", key="turn_screen", on_click=turn_screen, args=(estimate, quote))


def _find_confirmed(kept: Kept[Quote]) -> date | None:
    """The day on which it was agreed although the room was in doubt."""
    days = [date.fromisoformat(move.moved_at[:10]) for move in kept.moves if move.confirmed]
    return days[-1] if days else None


def _show_state(kept: Kept[Quote]) -> None:
    today, standing = session.get_today(), find_standing(kept)
    states = [f"being prepared on {kept.record.kept_at[:10]} by {kept.record.kept_by}", *map(_tell_move, kept.moves)]
    now = name_state(find_state(standing, today)).capitalize()
    st.markdown(f"**{now}.** {show_plain('; '.join(states))}.")
    following = list_next_states(standing, today)
    why_not = "; ".join(f"{name_state(one)}: {_WHY_NOT[why]}" for one, why in list_obstacles(standing, today))
    if following:
        with st.container(horizontal=True):
            for state in following:
                st.button(name_state(state).capitalize(), key=f"move_{state}", on_click=_move, args=(kept, state))
    else:
        st.markdown("Only a further version can follow.")
    if why_not:
        st.markdown(f"Not possible any more\\: {show_plain(why_not)}.")
    if st.session_state.get(_CONFIRM) == kept.name:
        _ask_again(kept)


def _tell_move(move: Move) -> str:
    despite = ", although the room was in doubt" if move.confirmed else ""
    closed = f", because {move.closed_by} was agreed" if move.closed_by else ""
    return f"{name_state(QuoteState(move.state))} on {move.moved_at[:10]} by {move.moved_by}{despite}{closed}"


def _ask_again(kept: Kept[Quote]) -> None:
    """An agreement on what has not enough room, or was not measured, is asked for twice."""
    wording = files.load_wording()
    told = [
        f"{name_arch(arch, wording)}: {wording.get(f'words.doubt.{verdict}')}"
        for arch, verdict in list_doubts(kept.content.rooms)
    ]
    then = "The paper of this version will say so, and that the patient knew it."
    st.warning(f"{show_plain('; '.join(told))}. {then}", icon=None)
    with st.container(horizontal=True):
        st.button("Agreed all the same", key="move_confirmed", on_click=_confirm, args=(kept,))
        st.button("Not yet", key="move_not_yet", on_click=_forget_question)


def _move(kept: Kept[Quote], state: QuoteState) -> None:
    _forget_question()
    if state is QuoteState.AGREED and list_doubts(kept.content.rooms):
        st.session_state[_CONFIRM] = kept.name
        return
    _make_move(kept, state)


def _confirm(kept: Kept[Quote]) -> None:
    _forget_question()
    _make_move(kept, QuoteState.AGREED, confirmed=True)


def _forget_question() -> None:
    st.session_state.pop(_CONFIRM, None)


def _make_move(kept: Kept[Quote], state: QuoteState, *, confirmed: bool = False) -> None:
    with attempt("quote") as outcome:
        closed = move_quote(kept, state, get_who("quote"), confirmed=confirmed)
        outcome.said = f"{kept.name} is now: {name_state(state)}."
        if closed:
            outcome.said += f" Out of date from now on: {', '.join(closed)}."
