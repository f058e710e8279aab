"""Wind as somebody at a terminal says it was measured, as a reading."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from crewplan.intake.grammar import Unreadable, number
from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day, zone
from crewplan.model.reading import Reading
from crewplan.model.units import SUFFIXES, convert
from crewplan.running.clock import Clock

_NAMES = {"gust": "gust", "wind": "mean"}
_MOST_MPS = 60.0
_EXPECTED = "expected such as gust_mph=24 or wind_mps=7.5"


class BadReading(Exception):
    """The words of a reading are off; the text is one sentence."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading, and its values as they were told."""

    reading: Reading
    unit: str
    gust: float | None
    mean: float | None

    @property
    def contents(self) -> dict[str, object]:
        """As the record of readings keeps it."""
        one = self.reading
        return {
            "where": one.where,
            "unit": self.unit,
            "gust": self.gust,
            "mean": self.mean,
            "gust_mps": one.gust_mps,
            "mean_mps": one.mean_mps,
            "at": one.at.isoformat(),
        }


def _value(told: str) -> tuple[str, float, str]:
    """'gust' or 'mean', the value, and the unit's suffix."""
    name, sign, text = told.partition("=")
    stem, _, suffix = name.strip().rpartition("_")
    unit = SUFFIXES.get(suffix)
    if not sign or stem not in _NAMES or unit is None or unit.dimension != "speed":
        raise BadReading(f"--reading {told!r} is not understood; {_EXPECTED}")
    try:
        value = number(text.strip())
    except Unreadable:
        raise BadReading(f"--reading {told!r} has no number; {_EXPECTED}") from None
    if not 0 <= convert(value, suffix, "mps") <= _MOST_MPS:
        raise BadReading(f"--reading {told!r} is no wind from 0 to {_MOST_MPS:g} m/s")
    return _NAMES[stem], value, suffix


def _instant(branch: Branch, clock: Clock, day: date, at: str | None) -> datetime:
    here = zone(branch.settings)
    if at is None:
        found = clock.now.astimezone(here)
    else:
        try:
            told = time.fromisoformat(at)
        except ValueError:
            raise BadReading(f"--at {at!r} is not a time of day such as 09:40") from None
        if told.tzinfo is not None:
            raise BadReading(f"--at {at!r} is by the branch's own clock: leave the offset out")
        found = datetime.combine(day, told, here)
    if found > clock.now:
        raise BadReading(f"--at {found:%H:%M} is still to come: say when it was measured")
    if local_day(branch.settings, found) != day:
        raise BadReading(f"--day {day} is not the day of the reading: say when with --at")
    return found


def measured(
    branch: Branch,
    clock: Clock,
    day: date,
    told: Sequence[str],
    at: str | None,
    *,
    job: str,
    crew: str,
    by: str,
) -> Measured:
    """The reading that words of the call tell; on the roof, unless told otherwise later.

    Raises:
        BadReading: where they are off.
    """
    if not job and not crew:
        raise BadReading("--reading needs --crew or --job: where was it measured?")
    found: dict[str, tuple[float, str]] = {}
    for one in told:
        name, value, suffix = _value(one)
        if name in found:
            raise BadReading(f"--reading {one!r} tells the same value twice")
        found[name] = (value, suffix)
    units = {suffix for _, suffix in found.values()}
    if len(units) > 1:
        raise BadReading("--reading: gust and wind in one unit, please")
    (suffix,) = units
    mps = {name: convert(value, suffix, "mps") for name, (value, _) in found.items()}
    if "gust" in mps and "mean" in mps and mps["gust"] < mps["mean"]:
        raise BadReading(
            "--reading: a gust is not below the mean; are the two the wrong way round?"
        )
    instant = _instant(branch, clock, day, at)
    reading = Reading(instant, "roof", "", job, crew, mps.get("mean"), mps.get("gust"), by)
    values = {name: value for name, (value, _) in found.items()}
    return Measured(reading, SUFFIXES[suffix].word, values.get("gust"), values.get("mean"))
