"""Stages and steps that would wait for each other for ever."""

from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter
from itertools import islice

from crewplan.intake.checks.tables import Tables, fault_at
from crewplan.intake.faults import Report, quoted
from crewplan.intake.file_limits import CIRCLES_TOLD

_ORDERED = (("stages", "stage"), ("steps", "step"))


def circles(after: Mapping[str, tuple[str, ...]]) -> Iterator[tuple[str, ...]]:
    """Circles of 'a comes after b', each begun by its least word; one is cut before the next."""
    edges = {word: dict.fromkeys(earlier) for word, earlier in after.items()}
    while True:
        try:
            TopologicalSorter(edges).prepare()
            return
        except CycleError as error:
            found = list(reversed(error.args[1][:-1]))  # each after the one that follows it
        at = found.index(min(found))
        circle = (*found[at:], *found[:at])
        yield circle
        edges[circle[0]].pop(circle[1])


def check_circles(tables: Tables, report: Report) -> None:
    """A stage or step after itself, straight or through others; the whole circle is named."""
    for name, key in _ORDERED:
        own = {
            row.values[key]: (parsed, row) for parsed, row in tables.rows(name) if key in row.values
        }
        after = {getattr(row, key): row.after for row in tables.package.get(name, ())}
        for word, (_, row) in own.items():
            after[word] = row.values.get("after", ())
        for word, (parsed, row) in own.items():
            if word in after[word]:
                problem = f"{quoted(word)} comes after itself"
                fault_at(parsed, row, "after", f"other {name}", problem, report)
        straight = {w: tuple(e for e in earlier if e != w) for w, earlier in after.items()}
        for circle in islice(circles(straight), CIRCLES_TOLD):
            parsed, row = next(own[word] for word in circle if word in own)
            named = " after ".join((*circle, circle[0]))
            problem = f"{named} is a circle"
            fault_at(parsed, row, "after", "an order with a beginning", problem, report)
