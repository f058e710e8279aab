"""How long was worked on a stage, and what was lost for which cause: one form for a whole crew."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, get_args
from urllib.parse import urlencode

from sqlalchemy import Connection

from crewplan.ledger.before_entry import Against, odd_hours
from crewplan.ledger.subjects import Subjects
from crewplan.model.ledger import SubjectBy
from crewplan.model.work_rows import Cause, HoursWorked
from crewplan.publishing.day_words import long_day_words
from crewplan.publishing.hours_text import question_words
from crewplan.store.closed_months import closed_on
from crewplan.store.entering import enter_rows, typed_row
from crewplan.store.recent import hours_of_day, hours_of_stage, progress_of_stage
from crewplan.store.records import NewRecord, add_records
from dashboard.entries.answering import fields, sure
from dashboard.entries.asked import Asked, BadValues, Odd, Values, crews_of, day_in
from dashboard.entries.cell_faults import cell_fault
from dashboard.entries.form import Form
from dashboard.entries.in_words import words
from dashboard.entries.places import stage_title, steps_of, way_back
from dashboard.once import remembered

CAUSES = tuple((cause, cause.replace("_", " ")) for cause in get_args(Cause) if cause)
_TABLE = "hours_worked"


def _facts(asked: Asked, connection: Connection) -> Mapping[str, Any]:
    stage = asked.stage()
    crews = crews_of(asked.view, stage.stage)
    asked.hold_rights("enter hours", crews)
    day = day_in(asked.args.get("day", ""), asked.today)
    kept = hours_of_stage(connection, stage.stage)
    return {
        "title": f"{words('Hours')}: {stage_title(asked.view, stage)}",
        "back": way_back(asked.view, stage.stage),
        "crew_people": _people(asked, crews, theirs=True),
        "other_people": _people(asked, crews, theirs=False),
        "steps": [(step.step, step.step.replace("_", " ")) for step in steps_of(asked.view, stage)],
        "causes": CAUSES,
        "about_words": about_words(asked),
        "day_words": long_day_words(day),
        "kept_rows": [
            (
                row.person,
                f"{row.hours:g} h",
                ": ".join(
                    filter(None, (words(row.cause.replace("_", " ") or "worked"), row.about))
                ),
                row.note,
                f"/enter/correction?{urlencode({'stage': stage.stage, 'row': number})}",
            )
            for number, row in kept.items()
            if row.day == day
        ],
    }


def about_words(asked: Asked) -> list[str]:
    """What hours may be lost about, as the tables call it; other words may be written."""

    def known() -> list[str]:
        subjects = Subjects(asked.view.branch)
        kinds = get_args(SubjectBy)
        return list(dict.fromkeys(word for kind in kinds for word in subjects.words(kind)))

    return remembered(asked.view, "about", None, known)


def _people(asked: Asked, crews: frozenset[str], *, theirs: bool) -> list[str]:
    """A crew's own people, and all others for whoever may enter for any crew."""
    mine = asked.actor.crews
    return [
        row.person
        for row in asked.view.branch.people
        if (row.crew in crews) is theirs and (mine is None or row.crew in mine)
    ]


def _blank(asked: Asked, _connection: Connection) -> Values:
    day = day_in(asked.args.get("day", ""), asked.today)
    crews = crews_of(asked.view, asked.stage().stage)
    people = [("person", person) for person in _people(asked, crews, theirs=True)]
    return fields([("day", str(day)), *people])


def _rows(asked: Asked, values: Values) -> list[dict[str, str]]:
    """A row a person and kind of hours.

    Raises:
        BadValues: with a sentence for each field.
    """
    faults: dict[str, str] = {}
    people = list(dict.fromkeys(values.getlist("person")))
    crews = crews_of(asked.view, asked.stage().stage)
    may = {*_people(asked, crews, theirs=True), *_people(asked, crews, theirs=False)}
    if not people:
        faults["person"] = "Say who worked: choose at least one person."
    elif unknown := [person for person in people if person not in may]:
        faults["person"] = words(
            "{names}: nobody of that name is in your crews.", names=", ".join(unknown)
        )
    worked, lost = values.get("hours", "").strip(), values.get("lost", "").strip()
    cause = values.get("cause", "")
    if not worked and not lost:
        faults["hours"] = "Say how many hours were worked, or how many were lost."
    if lost and not cause:
        faults["cause"] = "Say what the hours were lost for."
    if cause and not lost:
        faults["lost"] = "Say how many hours were lost, or choose no cause."
    about = values.get("about", "").strip()
    if about and not lost:
        faults["about"] = "Say how many hours were lost, or leave this empty."
    shared = {name: values.get(name, "") for name in ("day", "step", "note")}
    checks = [("day", "day", shared["day"]), ("step", "step", shared["step"])]
    checks += [("note", "note", shared["note"]), ("cause", "cause", cause)]
    checks += [("about", "about", about)]
    checks += [(name, "hours", text) for name, text in (("hours", worked), ("lost", lost)) if text]
    for name, column, text in checks:
        if name not in faults and (bad := cell_fault(_TABLE, column, text)):
            faults[name] = bad
    if faults:
        raise BadValues(faults)
    stage = asked.stage().stage
    kinds = [(worked, "")] if worked else []
    kinds += [(lost, cause)] if lost else []
    return [
        {
            **shared,
            "stage": stage,
            "person": person,
            "hours": hours,
            "cause": why,
            "about": about if why else "",
        }
        for person in people
        for hours, why in kinds
    ]


def answers_about(new: Sequence[HoursWorked], against: Against, sent: Values) -> list[NewRecord]:
    """What was asked about hours of one day and stage that look odd, to be kept with the answer.

    Raises:
        Odd: in the reader's language, where they have not said yet that it is right.
    """
    odd = odd_hours(new, against)
    if odd and not sure(sent):
        raise Odd(tuple(question_words(one, words) for one in odd))
    day, stage = str(new[0].day), new[0].stage
    return [NewRecord("answer", {"asked": question_words(one)}, day, stage) for one in odd]


def held_against(asked: Asked, connection: Connection, kept: Sequence[HoursWorked]) -> Against:
    """What new hours of the stage are held against; `kept`: those of the same days and people."""
    stage = asked.stage()
    return Against(
        kept,
        asked.job().earliest_on,
        _finished_on(asked, connection, stage.stage),
        asked.today,
        closed_on(connection),
        {
            name: _finished_on(asked, connection, name)
            for name in stage.after
            if progress_of_stage(connection, name)
        },
    )


def _finished_on(asked: Asked, connection: Connection, stage: str) -> date | None:
    """When the last of a stage's steps that have hours was reported done; None: it is not."""
    seen = progress_of_stage(connection, stage)
    left = asked.view.hours.get(stage)
    if left is None or not seen:
        return None
    open_steps = {step.step for step in left.steps}
    whole = {step for step, row in seen.items() if row.share_done >= 1}
    if not open_steps <= whole or not whole:
        return None
    return max(seen[step].day for step in whole)


def _keep(asked: Asked, connection: Connection, sent: Values) -> str:
    rows = _rows(asked, sent)
    new: list[HoursWorked] = [typed_row(_TABLE, row) for row in rows]
    kept = hours_of_day(connection, new[0].day, {row.person for row in new})
    answers = answers_about(new, held_against(asked, connection, kept), sent)
    enter_rows(connection, _TABLE, rows, asked.actor.name, asked.now)
    add_records(connection, answers, asked.actor.name, asked.now)
    total = sum(row.hours for row in new)
    people = len({row.person for row in new})
    if people == 1:
        return words("Kept: {hours} h of 1 person.", hours=f"{total:g}")
    return words("Kept: {hours} h of {count} people.", hours=f"{total:g}", count=people)


FORM = Form("/enter/hours", "enter hours", "hours.html", _facts, _blank, _keep)
