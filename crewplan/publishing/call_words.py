"""Today's calls in words: whom, why, and what to say."""

from collections.abc import Mapping
from datetime import date

from crewplan.model.chance import whole_percent
from crewplan.model.job_rows import Job
from crewplan.model.waiting_rows import Requirement
from crewplan.publishing.day_words import day_words
from crewplan.publishing.waiting_words import plain, waiting_words
from crewplan.readiness.ask_by import AskBy
from crewplan.readiness.calls import Call
from crewplan.readiness.givers import giver
from crewplan.readiness.needs import CUSTOMER_CONFIRMED, KIT
from crewplan.readiness.ready_view import ReadyView


def _customer(job: Job) -> str:
    name = job.contact or job.customer or f"the customer of {job.job}"
    return f"{name} ({job.phone})" if job.phone else name


def whom(view: ReadyView, call: Call) -> str:
    """Whom to call, by name where the tables have one."""
    if call.kind == KIT:
        names = {row.supplier: None for row in view.branch.arrivals
                 if row.item == call.item and row.supplier}  # fmt: skip
        return " or ".join(names) or (
            f"a supplier of {call.item}" if call.item else "the kit's supplier"
        )
    job = next(job for job in view.branch.jobs if job.job == call.job)
    role = giver(call.kind)
    if role == "customer":
        return _customer(job)
    named = {"authority": job.authority, "utility": job.utility}.get(role, "")
    if named:
        return named
    return f"whoever gives the {plain(call.kind)}" if role == "unknown" else f"the {role}"


def telephone(view: ReadyView, call: Call) -> str:
    """The customer's number where the call is to them; empty where the tables have none."""
    if call.kind == KIT or giver(call.kind) != "customer":
        return ""
    return next(job.phone for job in view.branch.jobs if job.job == call.job)


def deadline_words(told: AskBy, view: ReadyView) -> str:
    """'ask by Tue 5 May', 'should have been asked for by ...', or why no day can be told."""
    if told.by is None:
        return f"no deadline: {told.note}"
    note = f" {told.note}" if told.note else ""
    if told.by < view.today:
        return f"should have been asked for by {day_words(told.by)}{note}"
    return f"ask by {day_words(told.by)}{note}"


def until_words(view: ReadyView, call: Call) -> str:
    """By when: the last day to ask where the record tells one, else when it is wanted."""
    if call.ask_by is not None and call.ask_by.by is not None:
        return deadline_words(call.ask_by, view)
    return f"wanted on {day_words(call.wanted_on)}"


def _here_by(call: Call) -> str:
    return "" if call.covered_on is None else f", here by {day_words(call.covered_on)}"


def _row(view: ReadyView, call: Call) -> Requirement | None:
    key = (call.job, call.kind)
    return next((row for row in view.branch.requirements if (row.job, row.kind) == key), None)


def _lapses(row: Requirement | None, day: date) -> bool:
    """Granted, and no longer good on the day."""
    return (
        row is not None
        and row.state == "granted"
        and row.expires_on is not None
        and row.expires_on < day
    )


def gist(view: ReadyView, call: Call) -> str:
    """Why: what stands how, which stages wait for it, and from when."""
    stages = ", ".join(call.stages)
    wanted = f"{stages} from {day_words(call.wanted_on)}"
    if call.due_on is not None:
        was_due = f"due on {day_words(call.due_on)} and not booked in"
        return f"{call.missing:g} of {call.item} {was_due}; counted on by {wanted}"
    if call.item:
        if call.to_order <= 0:
            there = "all on order" + _here_by(call)
        elif call.to_order >= call.missing:
            there = "not on order"
        else:
            there = f"{call.missing - call.to_order:g} on order{_here_by(call)}"
        if call.to_order > 0 and call.ask_by:
            there += f"; {deadline_words(call.ask_by, view)}"
        return f"{call.missing:g} of {call.item} missing for {wanted}; {there}"
    if call.kind == CUSTOMER_CONFIRMED:
        return f"the day of {wanted} is published and not confirmed"
    row = _row(view, call)
    stands = waiting_words(call.kind, row) if row else f"{plain(call.kind)} has not been asked for"
    words = f"{stands}; holds {wanted}"
    if call.state == "asked":
        words += f", there by then with {whole_percent(call.p)} %"
    return words + (f"; {deadline_words(call.ask_by, view)}" if call.ask_by else "")


_LAPSED = "lapsed"
_SAY: Mapping[str, str] = {
    "open": "Ask for the {kind} of {job}; it is wanted by {day}. Which day can they name?",
    "asked": "How far is the {kind} of {job}? It is wanted by {day}. What do they still lack?",
    "refused": "What must change in the {kind} of {job}? Hand it in again; wanted by {day}.",
    "granted": "Can the {kind} of {job} hold from {day} already?",
    _LAPSED: "The {kind} of {job} lapses before {day}. What does it take to renew it in time?",
    "not_needed": "Is the {kind} of {job} truly not needed by {day}?",
}


def say(view: ReadyView, call: Call) -> str:
    """What to say, in one or two sentences."""
    day = day_words(call.wanted_on)
    if call.due_on is not None:
        was_due = f"The {call.item} was due on {day_words(call.due_on)}"
        return f"{was_due}. Has it come? If not, when does it; {call.missing:g} wanted by {day}."
    if call.item:
        sooner = call.missing - call.to_order
        in_place = "" if call.covered_on is None else f" in place of {day_words(call.covered_on)}"
        asked = []
        if call.to_order > 0:
            asked.append(f"Order {call.to_order:g} of {call.item}, to be here by {day}.")
        if sooner > 0:
            asked.append(f"Can {sooner:g} of {call.item} come by {day}{in_place}?")
        return " ".join(asked)
    if call.kind == CUSTOMER_CONFIRMED:
        row = next((r for r in view.branch.plan if r.stage == call.stages[0]), None)
        crew = f" with {row.crew}" if row else ""
        return f"We come on {day}{crew}. Does the day hold, and is access free?"
    state = _LAPSED if _lapses(_row(view, call), call.wanted_on) else call.state
    return _SAY[state].format(kind=plain(call.kind), job=call.job, day=day)
