"""How forecasts of hours held, as text, JSON and rows of CSV."""

from typing import Any

from crewplan.model.learned import Calibration, Forecaster, Held, Holds
from crewplan.publishing.sheets import Sheet, cell_text
from crewplan.publishing.terminal import table_text

HELD_COLUMNS = ("by", "quantile", "cases", "under", "share", "low", "high", "holds")
_COLUMNS = ("forecast by", "hours under", "stages", "stayed under", "90 % interval", "")
_BY: dict[Forecaster, str] = {
    "table": "the table's rates",
    "learned before": "rates learned before",
}
_HOLDS: dict[Holds, str] = {
    "too few": "too few stages to conclude",
    "agrees": "agrees",
    "too low": "too low: hours go over it too often",
    "too high": "too high: hours stay under it too often",
}


def _row(held: Held) -> tuple[str, ...]:
    if held.share is None:
        return (_BY[held.by], f"P{100 * held.quantile:.0f}", "0", "-", "-", _HOLDS[held.holds])
    return (
        _BY[held.by],
        f"P{100 * held.quantile:.0f}",
        str(held.cases),
        f"{held.under} ({100 * held.share:.0f}%)",
        f"{100 * held.low:.0f}% to {100 * held.high:.0f}%",
        _HOLDS[held.holds],
    )


def calibration_text(found: Calibration, title: str, mark: str) -> str:
    """A row a forecast and quantile; how each forecast was made; what was not counted."""
    lines = [mark] if mark else []
    lines += [
        f"{title}: productive hours of {len(found.cases)} finished stages until {found.as_of} "
        "against their forecasts, in hours of the table's pace.",
        table_text(_COLUMNS, map(_row, found.held)),
        "Half of all stages should stay under P50, eight of ten under P80, nine of ten under P90.",
        "'Rates learned before': each stage by what hours up to the day before its twelfth of the "
        "record say, so by nothing of itself.",
    ]
    if found.not_counted:
        lines.append(
            f"note: {found.not_counted} finished stages are not counted: not all of their hours "
            "are known."
        )
    return "\n".join(lines)


def held_cells(found: Calibration) -> list[tuple[object, ...]]:
    """One row a forecast and quantile."""
    return [
        tuple("" if (value := getattr(held, column)) is None else value for column in HELD_COLUMNS)
        for held in found.held
    ]


def held_sheet(found: Calibration) -> Sheet:
    """The forecasts as a table."""
    rows = [tuple(map(cell_text, row)) for row in held_cells(found)]
    return Sheet("forecasts of hours", HELD_COLUMNS, rows, frozenset({"by", "holds"}))


def calibration_json(found: Calibration, clock: str) -> dict[str, Any]:
    """The whole answer, with every case; hours are person-hours of the table's pace."""
    return {
        "as_of": found.as_of.isoformat(),
        "clock": clock,
        "held": [{column: getattr(held, column) for column in HELD_COLUMNS} for held in found.held],
        "not_counted": found.not_counted,
        "stages": [
            {
                "stage": case.stage,
                "begun_on": case.begun_on.isoformat(),
                "actual_h": case.actual_h,
                "p50_h": case.p50_h,
                "p80_h": case.p80_h,
                "p90_h": case.p90_h,
            }
            for case in found.cases
        ],
    }
