"""Learned rates as JSON, as rows of CSV, and as a new table `rates`."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from crewplan.model.learned import LearnedRates
from crewplan.model.work_rows import Rate
from crewplan.publishing.csv_text import csv_text
from crewplan.publishing.rates_text import left_out_sentence, unused_sentence

RATE_COLUMNS = ("step", "driver", "hours_per_unit", "spread", "source")
"""Of the table `rates`."""
LEARNED_COLUMNS = (
    "step", "driver", "prior", "learned", "low", "high", "stages", "evidence", "uncertainty",
    "prior_spread", "spread", "source",
)  # fmt: skip


def learned_cells(learned: LearnedRates) -> list[tuple[object, ...]]:
    """One row a rate."""
    return [tuple(getattr(row, column) for column in LEARNED_COLUMNS) for row in learned.rates]


def rates_csv(rows: Sequence[Rate]) -> str:
    """The table `rates` as CSV; figures to six digits."""
    return csv_text(
        RATE_COLUMNS,
        (
            (row.step, row.driver, f"{row.hours_per_unit:.6g}", f"{row.spread:.6g}", row.source)
            for row in rows
        ),
    )


def rates_json(learned: LearnedRates, clock: str) -> dict[str, Any]:
    """The whole answer. Rates are person-hours for a unit of the driver; `low` and `high` bound a
    90 % interval; `evidence` is 0 where all is prior and 1 where all is data."""
    return {
        "as_of": learned.as_of.isoformat(),
        "clock": clock,
        "stages": learned.stages,
        "rates": [
            {column: getattr(row, column) for column in LEARNED_COLUMNS} for row in learned.rates
        ],
        "crews": [asdict(crew) for crew in learned.crews],
        "left_out": [
            {**asdict(one), "day": one.day.isoformat() if one.day else None,
             "sentence": left_out_sentence(one)}
            for one in learned.left_out
        ],
        "not_used": [{**asdict(one), "sentence": unused_sentence(one)} for one in learned.unused],
    }  # fmt: skip
