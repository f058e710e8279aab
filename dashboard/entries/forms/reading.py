"""Wind measured by hand on site."""

from collections.abc import Mapping, Sequence
from datetime import datetime, time, timedelta
from math import isfinite
from typing import Any

from sqlalchemy import Connection

from crewplan.model.calendar import zone
from crewplan.model.reading import Reading
from crewplan.model.units import WORDS, convert
from crewplan.publishing.screen_units import shown
from crewplan.store.keeping_verdicts import verdict_record
from crewplan.store.recent import readings_on
from crewplan.store.records import NewRecord, add_records
from dashboard.entries.answering import fields
from dashboard.entries.asked import Asked, BadValues, NotHere, Values, crews_of
from dashboard.entries.desk import clock_of, held_verdicts, measured_for
from dashboard.entries.form import Form, Told
from dashboard.entries.in_words import reader_tongue, words
from dashboard.entries.places import stage_title, way_back
from dashboard.entries.shut import no_go_words
from dashboard.phone.seen import Seen
from dashboard.phone.stops import stop_words

UNITS = ("mph", "m/s", "km/h", "kt")
_MOST_MPS = 60.0
"""As for a forecast's values: more is no wind that anybody measures on a roof."""
_AHEAD = timedelta(minutes=5)
"""A phone's clock may be ahead by this (assumed)."""


def _crew(asked: Asked) -> tuple[str, str]:
    """Crew and stage that the reading is for; a stage's crew where only that is named."""
    stage = asked.stage().stage if asked.args.get("stage") else ""
    crew = asked.args.get("crew") or next(iter(sorted(crews_of(asked.view, stage))), "")
    if crew not in {row.crew for row in asked.view.branch.crews}:
        raise NotHere(f"there is no crew '{crew}' in this branch")
    return crew, stage


def _facts(asked: Asked, connection: Connection) -> Mapping[str, Any]:
    crew, stage = _crew(asked)
    asked.hold_rights("enter readings", frozenset({crew}))
    at = f": {stage_title(asked.view, asked.stage())}" if stage else ""
    head = words("Wind measured by {crew}", crew=crew)
    tz = zone(asked.view.branch.settings)
    today = readings_on(connection, asked.today, crew=crew)
    return {
        "title": f"{head}{at}",
        "back": way_back(asked.view, stage) if stage else f"/tomorrow?crew={crew}",
        "units": [(unit, unit) for unit in UNITS],
        "kept_rows": [
            (
                kept.id,
                f"{kept.reading.at.astimezone(tz):%H:%M}",
                f"{kept.words}, {words('the ' + kept.reading.where)}",
                kept.reading.by,
            )
            for kept in today
        ],
        "shut": _shut(asked, [kept.reading for kept in today]),
    }


def _shut(asked: Asked, today: Sequence[Reading]) -> list[str]:
    """What today's readings shut, the last first: a later, lower one takes nothing back."""
    told = (_no_go(asked, one) for one in reversed(today))
    return [said for said in told if said]


def _blank(asked: Asked, _connection: Connection) -> Values:
    local = clock_of(asked.view, asked.now).astimezone(zone(asked.view.branch.settings))
    unit = shown("m/s", asked.view.branch.settings.units).name
    return fields({"time": f"{local:%H:%M}", "where": "roof", "unit": unit})


def _speed(text: str, unit: str) -> tuple[float, float]:
    """The value as typed, and in m/s.

    Raises:
        ValueError: with a sentence.
    """
    try:
        value = float(text)
    except ValueError:
        raise ValueError(words('"{text}" is not a number.', text=text)) from None
    mps = convert(value, WORDS[unit], "mps") if isfinite(value) else value
    if not 0 <= mps <= _MOST_MPS:
        most = convert(_MOST_MPS, "mps", WORDS[unit])
        over = '"{text}" is not a wind speed from 0 to {most} {unit}.'
        raise ValueError(words(over, text=text, most=f"{most:.0f}", unit=unit))
    return value, mps


def _contents(asked: Asked, sent: Values) -> dict[str, Any]:
    """What is kept of a reading.

    Raises:
        BadValues: with a sentence for each field.
    """
    faults: dict[str, str] = {}
    unit = sent.get("unit", "")
    if unit not in UNITS:
        raise BadValues({"unit": "Choose a unit."})
    told: dict[str, Any] = {"where": sent.get("where", ""), "unit": unit}
    if told["where"] not in ("roof", "ground"):
        faults["where"] = "Say where it was measured."
    for name in ("gust", "mean"):
        told[name] = told[f"{name}_mps"] = None
        text = sent.get(name, "").strip()
        try:
            if text:
                told[name], told[f"{name}_mps"] = _speed(text, unit)
        except ValueError as bad:
            faults[name] = str(bad)
    if not faults and told["gust"] is None and told["mean"] is None:
        faults["gust"] = "Write the gust, the mean, or both."
    if not faults and None not in (told["gust"], told["mean"]) and told["gust"] < told["mean"]:
        faults["gust"] = "A gust is not below the mean: are the two the wrong way round?"
    try:
        told["at"] = _instant(asked, sent.get("time", "")).isoformat()
    except ValueError as bad:
        faults["time"] = str(bad)
    if faults:
        raise BadValues(faults)
    return told


def _instant(asked: Asked, text: str) -> datetime:
    """Today at a time of day.

    Raises:
        ValueError: with a sentence.
    """
    try:
        clock = time.fromisoformat(text)
    except ValueError:
        off = '"{text}" is not a time of day such as 09:40.'
        raise ValueError(words(off, text=text)) from None
    at = datetime.combine(asked.today, clock.replace(tzinfo=None))
    at = at.replace(tzinfo=zone(asked.view.branch.settings))
    if at > clock_of(asked.view, asked.now) + _AHEAD:
        raise ValueError(words("{text} is still to come: say when it was measured.", text=text))
    return at


def _keep(asked: Asked, connection: Connection, sent: Values) -> str | Told:
    crew, stage = _crew(asked)
    by, at, day = asked.actor.name, asked.now, str(asked.today)
    job = asked.stage().job if stage else ""
    if sent.get("wrong"):
        if not sent["wrong"].isdigit():
            raise NotHere("there is no such reading")
        mine = readings_on(connection, asked.today, crew=crew)
        which = next((kept for kept in mine if str(kept.id) == sent["wrong"]), None)
        if which is None:
            raise NotHere("there is no such reading today, or it was taken back already")
        back = NewRecord(
            "reading",
            {"why": "entered wrongly"},
            day,
            which.reading.stage,
            which.reading.job,
            crew,
            replaces=which.id,
        )
        add_records(connection, [back], by, at)
        return words("The reading was taken back; the history keeps both.")
    reading = NewRecord("reading", _contents(asked, sent), day, stage, job, crew)
    add_records(connection, [reading], by, at)
    return _told_now(asked, connection, crew)


def _told_now(asked: Asked, connection: Connection, crew: str) -> Told:
    """What the newest reading is over, whatever day the board shows; changed verdicts are kept."""
    view = asked.view
    after = held_verdicts(view, measured_for(connection, view, crew), crew, asked.now)
    shut = [now for was, now in zip(view.verdicts, after, strict=True) if now is not was]
    told = [verdict_record(one, "reading", crew) for one in shut]
    add_records(connection, told, asked.actor.name, asked.now)
    newest = readings_on(connection, asked.today, crew=crew)[-1].reading
    if said := _no_go(asked, newest):
        return Told(f"{said} {words('The reading is kept.')}", "stop")
    over_none = "Kept. It is over no limit, and makes no go: the gate's word stands."
    return Told(words(over_none), "no go")


def _no_go(asked: Asked, reading: Reading) -> str:
    """What a reading shuts, in the reader's language; empty: nothing."""
    tongue = reader_tongue()
    if tongue.code == "en":
        return no_go_words(asked.view, reading)
    return stop_words(Seen(asked.view, "", asked.now, tongue), reading)


FORM = Form("/enter/reading", "enter readings", "reading.html", _facts, _blank, _keep)
