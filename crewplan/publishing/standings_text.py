"""Indices, hours and labour cost at completion: terminal text, and rows of a table."""

from collections.abc import Mapping
from operator import attrgetter

from crewplan.model.ledger import By, HoursRecord, Standing, Undefined
from crewplan.publishing.figure_text import figure_text
from crewplan.publishing.sheets import Sheet, cell_text
from crewplan.publishing.terminal import table_text

_Columns = tuple[tuple[str, str, int], ...]
"""Figure of a standing, its column and decimals."""
_HOURS: _Columns = (
    ("budget_h", "planned h", 1),
    ("promised_h", "due h", 1),
    ("earned_h", "earned h", 1),
    ("worked_h", "worked h", 1),
    ("cost_index", "cost index", 2),
    ("schedule_index", "schedule index", 2),
    ("estimate_at_index_h", "at completion at cost index", 1),
    ("estimate_as_planned_h", "rest as planned", 1),
    ("estimate_at_both_h", "by both indices", 1),
    ("to_complete_index", "rest must go by", 2),
)
_COST: _Columns = (
    ("cost.so_far", "labour cost so far", 2),
    ("cost.at_index", "at completion at cost index", 2),
    ("cost.as_planned", "rest as planned", 2),
    ("cost.at_both", "by both indices", 2),
)
_SHEET = tuple(
    (figure, figure.replace("cost.", "labour_cost_")) for figure, _, _ in (*_HOURS, *_COST)
)


def standings_text(by: By, standings: Mapping[str, Standing], currency: str) -> str:
    """Hours and labour cost, a row each; below each table, what is undefined and why."""
    hours, why_hours = _table(by, standings, _HOURS)
    cost, why_cost = _table(by, standings, _COST)
    told = [note for note in why_cost if note not in why_hours]
    head = f"The same in money ({currency}), material and equipment apart:"
    return "\n".join([hours, *why_hours, "", head, cost, *told])


def _table(by: By, standings: Mapping[str, Standing], columns: _Columns) -> tuple[str, list[str]]:
    """The table, and what of it is undefined and why."""
    rows: list[tuple[str, ...]] = []
    undefined: dict[tuple[str, str], list[str]] = {}
    for name, standing in standings.items():
        figures = [attrgetter(figure)(standing) for figure, _, _ in columns]
        told = (figure_text(v, d) for v, (_, _, d) in zip(figures, columns, strict=True))
        rows.append((name, *told))
        for value, (_, word, _) in zip(figures, columns, strict=True):
            if isinstance(value, Undefined):
                undefined.setdefault((word, value.why), []).append(name)
    notes = [
        f"'{word}' is undefined for {', '.join(names)}: {why}."
        for (word, why), names in undefined.items()
    ]
    return table_text((by, *(word for _, word, _ in columns)), rows), notes


def standings_sheet(record: HoursRecord) -> Sheet:
    """A row a line; what is undefined is empty."""
    rows = []
    for name, standing in record.standings.items():
        figures = [attrgetter(figure)(standing) for figure, _ in _SHEET]
        told = (None if isinstance(value, Undefined) else value for value in figures)
        rows.append((name, *map(cell_text, told)))
    columns = (record.by, *(column for _, column in _SHEET))
    return Sheet("standing", columns, rows, frozenset(columns[:1]))
