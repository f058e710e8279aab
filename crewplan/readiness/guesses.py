"""Days that the record does not name: past its end, and of what has not been asked for."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.readiness import NeedChance, StageReadiness
from crewplan.readiness.dates import Dates, dates, dates_if_asked
from crewplan.readiness.history import History
from crewplan.readiness.readiness import readiness
from crewplan.readiness.shortages import Missing
from crewplan.readiness.waits import Waits

_IN_HAND = ("granted", "not_needed")
_UNKNOWN = Dates(None, None)


def unknown_days(
    waits: Mapping[str, StageReadiness],
    missing: Mapping[str, Sequence[Missing]],
    days: tuple[date, ...],
) -> dict[str, date]:
    """Stages that only wait for answers and of which the record names no 80 % day.

    Each with the day from which its kit is there.
    """
    found: dict[str, date] = {}
    for stage, ready in waits.items():
        states = {need.state for need in ready.states}
        if "asked" not in states or states & {"open", "refused"}:
            continue
        there = [item.covered_on(days) for item in missing.get(stage, ())]
        if None not in there and not dates(ready.p, days).known:
            found[stage] = max((day for day in there if day is not None), default=days[0])
    return found


def guesses(
    branch: Branch,
    hours: Mapping[str, StageHours],
    now: datetime,
    history: History,
    stages: Mapping[str, date],
    days: tuple[date, ...],
) -> dict[str, NDArray[np.float64]]:
    """Chances over `days` that go on past the record, of stages whose kits are there from a day."""
    only = frozenset(stages)
    past = readiness(branch, hours, days, now, history=history, only=only, past_record=True)
    ordinals = np.array([day.toordinal() for day in days])
    return {
        stage: np.where(ordinals >= stages[stage].toordinal(), ready.p, 0.0)
        for stage, ready in past.items()
    }


def kinds_to_ask(waits: StageReadiness, wanted_on: date) -> tuple[str, ...]:
    """Kinds that are open or refused, or whose grant has lapsed by the day."""
    return tuple(
        need.kind
        for need in waits.states
        if need.state in ("open", "refused") or need.lapsed_by(wanted_on)
    )


def answers_if_asked(
    kinds: Collection[str],
    states: Sequence[NeedChance],
    order: Mapping[str, tuple[str, ...]],
    record: Callable[[str], Waits | None],
    days: tuple[date, ...],
    furthest_days: int,
) -> dict[str, Dates]:
    """By kind that is to be asked for: when the answer is there, asked for as soon as it can be.

    That is `days[0]`, or the 80 % day of what must be in hand before it.
    """
    now_waiting = {need.kind: need for need in states}
    found: dict[str, Dates] = {}

    def told(kind: str) -> Dates:
        if kind not in found:
            start: date | None = days[0]
            guessed = False
            for first in order.get(kind, ()):
                need = now_waiting.get(first)
                if need is None or (first not in kinds and need.state in _IN_HAND):
                    continue
                before = told(first) if first in kinds else dates(need.p, days)
                likely = before.likely_on or before.likely_past_record
                guessed |= before.likely_on is None
                start = None if start is None or likely is None else max(start, likely)
            waits = record(kind)
            found[kind] = (
                _UNKNOWN
                if waits is None or start is None
                else _marked(dates_if_asked(waits, start, furthest_days), guessed)
            )
        return found[kind]

    return {kind: told(kind) for kind in kinds}


def _marked(told: Dates, guessed: bool) -> Dates:
    """What rests on a guess is a guess."""
    if not guessed:
        return told
    return replace(
        _UNKNOWN,
        half_past_record=told.half_on or told.half_past_record,
        likely_past_record=told.likely_on or told.likely_past_record,
    )
