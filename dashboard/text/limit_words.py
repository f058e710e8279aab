"""Limits in the reader's units, each with who says so."""

from collections.abc import Iterable, Sequence

from crewplan.model.limit_row import CANONICAL_UNIT, Limit
from crewplan.publishing.screen_units import UnitSystem, quantity
from crewplan.weather.limits import AT_LEAST, describe
from dashboard.text.verdict_words import EXPOSURE_WORDS, MEASURE_WORDS


def limit_words(row: Limit, units: UnitSystem) -> str:
    """'Lifting modules: gust at most 26 mph (3 s, 10 m up). Roofing trade, second-hand copy.'"""
    what = f"{EXPOSURE_WORDS[row.exposure]}: {MEASURE_WORDS.get(row.measure, row.measure)}"
    source = row.source or "no source given"
    if row.at_most is None or not CANONICAL_UNIT[row.measure]:
        return f"{what}. Source: {source}"
    bound = "at least" if row.measure in AT_LEAST else "at most"
    value = quantity(row.at_most, CANONICAL_UNIT[row.measure], units)
    held = [row.averaging] if row.averaging else []
    held += [f"{quantity(row.height_m, 'm', units)} up"] if row.height_m is not None else []
    basis = f" ({', '.join(held)})" if held else ""
    caution = ", a caution only" if row.effect == "caution" else ""
    return f"{what} {bound} {value}{basis}{caution}. Source: {source}"


def obeyed(rows: Iterable[Limit], sources: Iterable[str], units: UnitSystem) -> Sequence[str]:
    """The limits in the reader's units, then what a verdict's sources say besides them."""
    rows = tuple(rows)
    told = {describe(row) for row in rows if row.at_most is not None}
    rest = [source for source in dict.fromkeys(sources) if source not in told]
    return [*(limit_words(row, units) for row in rows), *rest]
