"""How far a job's margin may still move: what its remaining hours may cost at best and at worst."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from crewplan.labour import combine, latest_progress
from crewplan.labour.spread import Z90
from crewplan.ledger.book import Book
from crewplan.ledger.entries import hours_of


@dataclass(frozen=True, slots=True)
class RestFactors:
    """What the rest of a job's hours is multiplied by; 1 and 1 where nothing is left."""

    p10: float
    """One of ten such rests takes less."""
    p90: float
    """Nine of ten such rests take less."""


_NOTHING_LEFT = RestFactors(1.0, 1.0)


class RestSpreads:
    """Spreads of what is left of each job at the end of a day."""

    def __init__(self, book: Book, day: date) -> None:
        """Progress up to and with `day` counts."""
        self._book = book
        self._done: Mapping[str, Mapping[str, float]] = latest_progress(
            tuple(book.branch.progress), day
        )

    def of(self, stages: list[int]) -> RestFactors:
        """Of some stages together, by their places in the branch's table.

        The rest is log-normal with the steps' spreads, all steps of a job correlated as those of
        a stage are: same roof, same people (assumed). Lost hours still to come are not in it.
        """
        total = combine(
            (left_h, self._book.spreads[stage][step])
            for stage in stages
            for step, left_h in self._left(stage)
        )
        if total.p50_h == 0:
            return _NOTHING_LEFT
        sigma = math.sqrt(math.log1p(total.spread**2))
        return RestFactors(math.exp(-Z90 * sigma), math.exp(Z90 * sigma))

    def _left(self, stage: int) -> list[tuple[str, float]]:
        done = self._done.get(self._book.branch.stages[stage].stage, {})
        return [
            (step, float(hours_of(micro_h)) * (1 - share))
            for step, micro_h in self._book.planned[stage].items()
            if (share := done.get(step, 0.0)) < 1
        ]
