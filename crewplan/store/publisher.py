"""Where a plan that is being made will be published: the database, or plan.csv in the folder.

Loads nothing of the database where a branch has none.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from crewplan.model.expected import Expectation
from crewplan.model.plan_row import PlanRow
from crewplan.store.place import has_database, place_of

if TYPE_CHECKING:
    from crewplan.store.publishing_plan import Published

Publish = Callable[[Sequence[PlanRow], datetime, Sequence[Expectation]], "Published | None"]
"""Rows, the clock's now, and what is expected, which a database keeps; the plan's number and what
to tell; None: into a file, unnumbered."""

_BESIDE_THE_SOLVE_S = 300
"""What a plan takes besides the solver's own time, at most (assumed; 240 stages take seconds)."""


@contextmanager
def publisher(source: str | Path, by: str, seconds: float) -> Iterator[Publish]:
    """Where a plan that is about to be made will be published: the database, or plan.csv.

    For a database, the solve's lease is held meanwhile; `seconds` is the solver's longest time.

    Raises:
        SolveUnderWay: somebody else is having a plan made.
    """
    if not has_database(source):
        from crewplan.intake.published import write_plan

        def to_file(rows: Sequence[PlanRow], now: datetime, _: Sequence[Expectation]) -> None:
            write_plan(Path(source), rows, now)

        yield to_file
        return
    from crewplan.store.connecting import open_store
    from crewplan.store.leases import give_back, take_lease
    from crewplan.store.publishing_plan import Told, publish
    from crewplan.store.versions import newest

    store = open_store(place_of(source))
    token = take_lease(store, by, seconds + _BESIDE_THE_SOLVE_S)
    try:
        with store.read() as connection:
            here = newest(connection)

        def to_database(
            rows: Sequence[PlanRow], now: datetime, expected: Sequence[Expectation]
        ) -> "Published":
            version = here.number if here is not None else 0
            with store.write() as connection:
                # the record's own time is the machine's, also where the clock is set by hand
                told = Told(now, expected)
                return publish(connection, rows, by, datetime.now(UTC), version, told)

        yield to_database
    finally:
        give_back(store, token)
