"""Which benefit plans help with a quote: not asked yet, none, or one or two, from the practice folder, a file or typed.

What was chosen and typed is held for the form; the plans that came of it are what is offered.
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import streamlit as st
import tomli_w

from estimator import files
from estimator.base.problems import InputError, Problem
from estimator.estimate.result import CaseEstimate
from estimator.files.practice.plans import name_plan, read_plan_text, write_plan_text
from estimator.files.user import data_folder
from estimator.inputs.plans.model import BenefitPlan, SecondRule
from estimator.inputs.plans.reader import read_plan
from estimator.proposal.model import HelpState, PlanHelp
from estimator.ui.quote.benefits.plan_form import FormScope, edit_plan, label_plan_fields
from estimator.ui.quote.unfinished import note_unfinished, show_unfinished
from estimator.ui.shell import session
from estimator.ui.shell.markup import say_word, show_plain
from estimator.ui.shell.offer import get_help
from estimator.ui.shell.working_copy import get_note, hold_one_of, put_note

_NOT_ASKED, _NONE, _FILE, _FORM = HelpState.NOT_ASKED.value, HelpState.NONE.value, "file", "form"
_WAYS = {_FILE: "Another plan file", _FORM: "Typed in here"}
_WITHOUT = ({_NOT_ASKED: "Not asked yet", _NONE: "No plan"}, {_NONE: "None"})
"""What the first and the second plan begin with, where there is none."""
_SECOND = ("plans", 2)
_NOT_COUNTED = "Nothing of it is counted until this is mended; what you typed stays."


def ask_plans(estimate: CaseEstimate, lines: Mapping[str, str]) -> PlanHelp:
    """What is known of plans: those chosen, the first one first; none of them while one has problems.

    `lines` are names by key of the lines of the quote.
    """
    scope = FormScope(
        fees=estimate.practice.fees,
        arches=tuple(jaw.jaw.arch.value for jaw in estimate.jaws),
        lines=lines,
        today=session.get_today(),
    )
    offered = _list_files(estimate)
    way = _ask_way("Benefit plan", 1, offered)
    if way in (_NOT_ASKED, _NONE):
        return PlanHelp(state=HelpState(way))
    plans = [_take_plan(way, "plan_1", offered, scope, estimate)]
    way = _ask_way("Second plan, which pays after the first", 2, offered)
    if way != _NONE:
        plans.append(_ask_second(_take_plan(way, "plan_2", offered, scope, estimate)))
    whole = tuple(plan for plan in plans if plan is not None)
    if len(whole) < len(plans) or not _are_different(whole):
        return PlanHelp()
    return PlanHelp(state=HelpState.KNOWN, plans=whole)


def _ask_second(plan: BenefitPlan | None) -> BenefitPlan | None:
    """The second plan with the method by which it pays after another, at first what its file says."""
    if plan is None:
        return None
    methods = [rule.value for rule in SecondRule]
    held = hold_one_of(f"method_{plan.key}_{plan.as_second}", methods, plan.as_second.value)
    label = f"How {show_plain(plan.name)} pays after the first plan"
    method = st.radio(label, methods, horizontal=True, format_func=say_word, **held)
    return replace(plan, as_second=SecondRule(method))


def _are_different(plans: tuple[BenefitPlan, ...]) -> bool:
    if len({plan.key for plan in plans}) == len(plans):
        return True
    problem = Problem(file="plans", path=_SECOND, code="plans.same", found=plans[0].key)
    show_unfinished("Two plans are needed", [problem], note=_NOT_COUNTED, labels={_SECOND: "Second plan"})
    return False


def _list_files(estimate: CaseEstimate) -> dict[str, Path]:
    """The plan files of the practice by name; the invented ones of the demo while its fees are those of the demo."""
    own = files.find_plans(data_folder.find_practice_folder())
    if not own and estimate.practice.fees.invented:
        own = files.find_plans(files.DATA / "demo")
    return {path.name: path for path in own}


def _ask_way(label: str, number: int, offered: Mapping[str, Path]) -> str:
    names = {**_WITHOUT[number - 1], **_name_files(offered), **_WAYS}
    ways, name = list(names), f"plan_{number}_way"
    start = ways[0] if get_note(name) in ways else _find_start(number, ways[0])
    return str(st.selectbox(label, ways, format_func=names.__getitem__, width=420, **hold_one_of(name, ways, start)))


def _find_start(number: int, nothing: str) -> str:
    """What the case itself says where nothing was chosen here: its plan is taken as a file that was opened."""
    said = get_help()
    plans = said.get("plans", [])
    if len(plans) < number:
        return _NONE if said.get("state") == _NONE else nothing
    plan = plans[number - 1]
    put_note(f"plan_{number}_text", [str(plan.get("name", "")), tomli_w.dumps(plan)])
    return _FILE


def _name_files(offered: Mapping[str, Path]) -> dict[str, str]:
    """Plans by their own names; two of one name with their files."""
    names = {file: name_plan(path) for file, path in offered.items()}
    often = Counter(names.values())
    return {file: name if often[name] == 1 else f"{name}, {file}" for file, name in names.items()}


def _take_plan(
    way: str, name: str, offered: Mapping[str, Path], scope: FormScope, estimate: CaseEstimate
) -> BenefitPlan | None:
    """The plan of one choice, with its problems listed; None while it has some."""
    born, today = estimate.case.patient.born, scope.today
    if way == _FORM:
        return _take_typed(name, scope, estimate)
    try:
        if way in offered:
            plan = files.load_plan(offered[way], today=today, born=born, fees=scope.fees)
        else:
            opened = open_text("A plan file (TOML)", name)
            if opened is None:
                note_unfinished([Problem(file="plan", path=(_WAYS[_FILE],), code="half_typed.plan_file")])
                return None
            plan = read_plan_text(opened[1], opened[0], today=today, born=born, fees=scope.fees)
    except InputError as error:
        show_unfinished("This plan cannot be used", error.problems, note=_NOT_COUNTED)
        return None
    _say_plan(plan)
    return plan


def open_text(label: str, name: str) -> tuple[str, str] | None:
    """The name and text of a file opened here; it stays open while other pages are looked at.

    Raises InputError where the file is no text.
    """
    uploaded = st.file_uploader(label, type="toml", key=f"{name}_in_{session.get_generation()}")
    if uploaded is not None:
        put_note(f"{name}_text", None)
        put_note(f"{name}_text", [uploaded.name, files.decode_text(uploaded.getvalue(), uploaded.name)])
    opened: list[str] | None = get_note(f"{name}_text")
    return None if opened is None else (opened[0], opened[1])


def _take_typed(name: str, scope: FormScope, estimate: CaseEstimate) -> BenefitPlan | None:
    document = edit_plan(scope, name)
    if document is None:
        st.markdown("The estimate follows once the plan has a name and a percentage.")
        note_unfinished([Problem(file="plan", path=(f"Plan: {_WAYS[_FORM].lower()}",), code="half_typed.plan")])
        return None
    try:
        plan = read_plan(document, file="plan", today=scope.today, born=estimate.case.patient.born, fees=scope.fees)
    except InputError as error:
        labels = label_plan_fields(document, name)
        show_unfinished("This plan does not work out yet", error.problems, note=_NOT_COUNTED, labels=labels, typed=True)
        return None
    plan = plan.name_past_classes(scope.fees)
    st.download_button(
        "Download this plan (TOML)", write_plan_text(plan), f"{plan.key}.toml", "application/toml", key=keep_key(name),
        help="For plans/ in the practice folder. It holds what this patient has used, and no name.",
    )  # fmt: skip
    return plan


def keep_key(name: str) -> str:
    """The key of a button of the open case; a button has nothing to keep."""
    return f"{name}_out_{session.get_generation()}"


def _say_plan(plan: BenefitPlan) -> None:
    wording = files.load_wording()
    day = plan.member.as_of
    told = wording.say("benefits.as_of", day=day.isoformat()) if day else wording.get("benefits.as_of_unknown")
    network = "in network" if plan.in_network else "out of network"
    st.markdown(f"**{show_plain(plan.name)}**, {network}. :small[{show_plain(told)}]")
