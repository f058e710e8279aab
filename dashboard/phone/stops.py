"""What was measured on site and shuts work, in the reader's language."""

from datetime import timedelta

from crewplan.model.calendar import zone
from crewplan.model.reading import Reading
from crewplan.model.work_rows import EXPOSURES
from crewplan.publishing.screen_units import quantity
from crewplan.store.connecting import Store
from crewplan.store.faults import StoreFault
from crewplan.store.recent import readings_on, ticks_of
from crewplan.weather.limits import value_of
from crewplan.weather.readings import over
from dashboard.entries.desk import limits_of, measured_for, today_of
from dashboard.entries.forms.load import items_of
from dashboard.phone.seen import Seen
from dashboard.text.verdict_words import MEASURE_WORDS


def stops(seen: Seen, store: Store | None) -> list[str]:
    """A sentence a reading over a limit, of today and of the look's day; the newest first."""
    if store is None:
        return []
    try:
        with store.read() as connection:
            found = measured_for(connection, seen.view, seen.crew)
            today = today_of(seen.view, seen.now)
            if today != seen.view.gate_day:
                mine = readings_on(connection, today, crew=seen.crew)
                found = [*found, *(kept.reading for kept in mine)]
    except StoreFault:
        return [seen.say("not_read")]
    told = [
        stop_words(seen, reading) for reading in sorted(found, key=lambda r: r.at, reverse=True)
    ]
    return [words for words in dict.fromkeys(told) if words]


def ticked(seen: Seen, store: Store | None, stage: str) -> str:
    """How much of a stage's load was ticked; empty where nothing was, or nobody can."""
    if store is None:
        return ""
    try:
        with store.read() as connection:
            ticks = ticks_of(connection, stage, seen.view.gate_day)
    except StoreFault:
        return ""
    items = items_of(seen.view, stage)
    count = sum(item in ticks and ticks[item].ticked for item in items)
    return seen.say("ticked", count=count, all=len(items)) if ticks else ""


def stop_words(seen: Seen, reading: Reading) -> str:
    """What a reading over a limit shuts and until when; empty where it is over none."""
    limits = limits_of(seen.view)
    wait = timedelta(hours=seen.view.branch.settings.reading_wait_h)
    breaks = {name: found for name in EXPOSURES if (found := over(reading, limits, name, wait))}
    if not breaks:
        return ""
    highest = next(name for name in reversed(EXPOSURES) if name in breaks)
    worst = breaks[highest][0]
    units, tz = seen.view.branch.settings.units, zone(seen.view.branch.settings)
    works = [seen.say(f"{name}_noun") for name in reversed(list(breaks))]
    return seen.say(
        "stop",
        works=seen.tongue.listed(works),
        where=seen.say(f"where_{reading.where}"),
        time=f"{reading.at.astimezone(tz):%H:%M}",
        measure=seen.tongue.word(MEASURE_WORDS.get(worst.limit.measure, worst.limit.measure)),
        value=quantity(worst.value_mps, "m/s", units),
        limit=quantity(value_of(worst.limit), "m/s", units),
        until=f"{worst.until.astimezone(tz):%H:%M}",
    )
