"""Which limits hold for each exposure: the package's rows, a folder's in their place, inherited."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from crewplan.model.limit_row import CANONICAL_UNIT, Effect, Limit, Measure
from crewplan.model.units import WORDS, convert
from crewplan.model.work_rows import EXPOSURES, Exposure

AT_LEAST: frozenset[Measure] = frozenset({"wet", "frost", "temperature_low"})
"""Measures of which the limit is the least good value; of all others it is the most."""


class BadLimit(ValueError):
    """A limit that is no finite number would shut nothing."""


@dataclass(frozen=True, slots=True)
class EffectiveLimits:
    """What holds, by exposure, those of the less exposed work included."""

    rows: dict[Exposure, tuple[Limit, ...]]
    """All rows that hold, `at_most` never None, in `CANONICAL_UNIT`."""
    notes: tuple[str, ...]
    """Rows of the folder that are looser than the package's, or that take a limit away."""

    def tightest(self, exposure: Exposure, effect: Effect) -> dict[Measure, Limit]:
        """The strictest row of each measure; a value within it is within all of them."""
        best: dict[Measure, Limit] = {}
        for row in self.rows[exposure]:
            held = best.get(row.measure)
            if row.effect == effect and (held is None or _looser(held, row)):
                best[row.measure] = row
        return best


def value_of(row: Limit) -> float:
    """`at_most` of a row that holds, in `CANONICAL_UNIT`."""
    if row.at_most is None or not math.isfinite(row.at_most):
        raise BadLimit(f"limit of {row.exposure} {row.measure} is no finite number")
    return row.at_most


def _looser(row: Limit, than: Limit) -> bool:
    if row.measure in AT_LEAST:
        return value_of(row) < value_of(than)
    return value_of(row) > value_of(than)


def describe(row: Limit) -> str:
    """One limit in words, with its unit both ways, averaging, height and source."""
    source = row.source or "no source given"
    if row.measure in ("light", "thunder"):
        rule = {"light": "only while the sun is up", "thunder": "not in its hour nor the next"}
        return f"{row.exposure} {row.measure}: {rule[row.measure]}: {source}"
    bound = "at least" if row.measure in AT_LEAST else "at most"
    unit = CANONICAL_UNIT[row.measure]
    held = [f"{value_of(row):.4g} {unit}"] if row.unit not in ("", unit) else []
    held += [row.averaging] if row.averaging else []
    held += [f"{row.height_m:g} m up"] if row.height_m is not None else []
    basis = f" ({', '.join(held)})" if held else ""
    what = f"{row.exposure} {row.measure}{' caution' if row.effect == 'caution' else ''}"
    return f"{what} {bound} {_as_written(row)}{basis}: {source}"


def _as_written(row: Limit) -> str:
    """The value in the unit that the table has it in, or else in the unit inside."""
    unit = CANONICAL_UNIT[row.measure]
    word = row.unit if row.unit.lower() in WORDS else unit
    value = convert(value_of(row), WORDS[unit.lower()], WORDS[word.lower()])
    return f"{value:.4g} {word}"


def _same(row: Limit, other: Limit) -> bool:
    return row.exposure == other.exposure and row.measure == other.measure


def _displaces(row: Limit, package_row: Limit) -> bool:
    """Whether a folder's row stands in the place of a package's row.

    A caution never displaces a stop, and a stop leaves the package's caution standing beside it;
    a stop row that says `none` takes away both.
    """
    if not _same(row, package_row):
        return False
    takes_all = row.at_most is None and row.effect == "stop"
    return takes_all or row.effect == package_row.effect


def effective_limits(
    package_rows: Iterable[Limit], folder_rows: Iterable[Limit]
) -> EffectiveLimits:
    """Merges both and hands roof the limits of ground, and lift those of roof.

    A row of the folder touches only the package's row of its own exposure and measure, so none
    opens what another row shuts. Taking a limit away needs a source; without one the row is
    named and not obeyed.

    Raises:
        BadLimit: where a limit is not finite.
    """
    package, folder = tuple(package_rows), tuple(folder_rows)
    notes: list[str] = []
    obeyed: list[Limit] = []
    for row in folder:
        if row.at_most is not None or row.source.strip():
            obeyed.append(row)
        else:
            notes.append(
                f"not obeyed: {row.exposure} {row.measure} would be without a limit, "
                "and its row names no source"
            )
    notes += [note for row in obeyed for note in _changes(row, package)]
    own = [row for row in package if not any(_displaces(other, row) for other in obeyed)]
    own += [row for row in obeyed if row.at_most is not None]
    for row in own:
        value_of(row)
    rows: dict[Exposure, tuple[Limit, ...]] = {}
    inherited: tuple[Limit, ...] = ()
    for exposure in EXPOSURES:
        inherited = (*(row for row in own if row.exposure == exposure), *inherited)
        rows[exposure] = inherited
    return EffectiveLimits(rows, tuple(notes))


def _changes(row: Limit, package: Sequence[Limit]) -> list[str]:
    """What a folder's row loosens or takes away, in words."""
    source = row.source.strip() or "no source given"
    if row.at_most is None:
        gone = [other for other in package if _displaces(row, other)]
        if not gone:
            limit = "caution" if row.effect == "caution" else "limit"
            return [f"no {limit} on {row.exposure} {row.measure}: {source}"]
        return [f"taken away: {describe(other)}; by: {source}" for other in gone]
    return [
        f"looser than the package's: {describe(row)} (package: {describe(other)})"
        for other in package
        if _displaces(row, other) and _looser(row, other)
    ]
