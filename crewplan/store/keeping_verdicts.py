"""Keeps what the weather gate told, where a branch has a database.

Loads nothing of the database where a branch has none.
"""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crewplan.model.verdict import DayVerdict, HourVerdict
from crewplan.publishing.gate_json import gate_json
from crewplan.store.place import has_database, place_of

if TYPE_CHECKING:
    from crewplan.store.records import NewRecord

_NOT_KEPT = ("hours", "sources", "day", "job", "stage")
"""Hours are kept as words; limits stand in the version that the record names."""


def keep_verdicts(
    source: str | Path,
    verdicts: Sequence[DayVerdict],
    by: str,
    through: str,
    crews: Mapping[str, str] | str = "",
) -> tuple[str, ...]:
    """Keep verdicts as they were told; a warning where that could not be done.

    Args:
        source: the folder or address; without a database nothing is kept.
        verdicts: what somebody was told.
        by: who asked.
        through: the command or page that told it.
        crews: the crew asked for, or the crew of each stage.
    """
    if not verdicts or not has_database(source):
        return ()
    from crewplan.store.connecting import open_store
    from crewplan.store.faults import NotDone, StoreFault
    from crewplan.store.records import add_records

    new = [
        verdict_record(one, through, crews if isinstance(crews, str) else crews.get(one.stage, ""))
        for one in verdicts
    ]
    try:
        store = open_store(place_of(source))
        with store.write() as connection:
            # the record's own time is the machine's, also where the clock is set by hand
            add_records(connection, new, by, datetime.now(UTC))
    except (StoreFault, NotDone) as fault:
        return (f"{fault}; the verdict was told and not kept",)
    return ()


def verdict_record(verdict: DayVerdict, through: str, crew: str) -> "NewRecord":
    """A verdict as it is kept."""
    from crewplan.store.records import NewRecord

    [told] = gate_json([verdict])
    contents = {name: value for name, value in told.items() if name not in _NOT_KEPT}
    contents["hours"] = {hour.hour.isoformat(): hour.verdict for hour in verdict.hours}
    contents["worst"] = _worst(verdict)
    contents["through"] = through
    return NewRecord("verdict", contents, verdict.day.isoformat(), verdict.stage, verdict.job, crew)


def _worst(verdict: DayVerdict) -> dict[str, Any]:
    """What decides the hour with the least chance: within the windows of a go, else of the day."""
    hours: Sequence[HourVerdict] = [
        hour
        for hour in verdict.hours
        if verdict.verdict == hour.verdict
        and (not verdict.windows or any(w.start <= hour.hour < w.end for w in verdict.windows))
    ]
    if not hours:
        return {}
    worst = min(hours, key=lambda hour: hour.p_go)
    return {
        "hour": worst.hour.isoformat(),
        "measure": worst.measure,
        "value": None if worst.value is None else round(worst.value, 6),
        "limit": None if worst.limit is None else round(worst.limit, 6),
        "unit": worst.unit,
    }
