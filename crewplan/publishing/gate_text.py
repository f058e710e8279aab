"""Weather verdicts as text and as cells."""

from collections.abc import Iterable, Sequence

from crewplan.model.chance import whole_percent
from crewplan.model.settings import Settings
from crewplan.model.verdict import DayVerdict, HourVerdict
from crewplan.publishing.screen_units import UnitSystem, quantity
from crewplan.publishing.terminal import table_text

GATE_COLUMNS = (
    "day", "exposure", "job", "stage", "day_verdict", "hour", "verdict", "measure", "value",
    "limit", "unit", "p_go", "in_window", "void_after", "clock",
)  # fmt: skip

_HOUR_S = 3_600

_SHAPES = {"go": "[+] GO", "no-go": "[x] NO-GO", "unknown": "[?] UNKNOWN, so do not go"}


def _shown(value: float | None, unit: str, units: UnitSystem) -> str:
    return "unknown" if value is None else quantity(value, unit, units)


def _in_window(verdict: DayVerdict, hour: HourVerdict) -> bool:
    """A window cuts an hour only where the shift or the time asked at cuts it."""
    starts_s = hour.hour.timestamp()  # instants: a local hour comes twice when clocks go back
    return any(
        window.start.timestamp() < starts_s + _HOUR_S and starts_s < window.end.timestamp()
        for window in verdict.windows
    )


def gate_cells(verdicts: Iterable[DayVerdict]) -> list[tuple[str, ...]]:
    """One row an hour, metric, in the order of `GATE_COLUMNS`."""
    return [
        (
            verdict.day.isoformat(), verdict.exposure, verdict.job, verdict.stage, verdict.verdict,
            hour.hour.isoformat(), hour.verdict, hour.measure,
            "" if hour.value is None else f"{hour.value:.3f}",
            "" if hour.limit is None else f"{hour.limit:.3f}",
            hour.unit, f"{hour.p_go:.4f}", "yes" if _in_window(verdict, hour) else "no",
            verdict.void_after.isoformat() if verdict.void_after else "", verdict.clock,
        )
        for verdict in verdicts
        for hour in verdict.hours
    ]  # fmt: skip


def _hour_row(verdict: DayVerdict, hour: HourVerdict, units: UnitSystem) -> tuple[str, ...]:
    word: str = hour.verdict
    if word == "go" and not _in_window(verdict, hour):
        word = "no window"  # a loose good hour is not enough to lift and make safe
    return (
        f"{hour.hour:%H:%M}",
        word,
        hour.measure,
        _shown(hour.value, hour.unit, units),
        _shown(hour.limit, hour.unit, units) if hour.limit is not None else "",
        f"{whole_percent(hour.p_go)}%",
        "; ".join(hour.cautions),
    )


def _verdict_text(verdict: DayVerdict, units: UnitSystem) -> str:
    where = f", job {verdict.job}" if verdict.job else ""
    lines = [
        f"{verdict.day:%A %Y-%m-%d}, {verdict.exposure}{where}: {_SHAPES[verdict.verdict]}",
        f"  {verdict.why}",
    ]
    lines += [
        f"  window {window.start:%H:%M} to {window.end:%H:%M}, chance {whole_percent(window.p_go)}%"
        for window in verdict.windows
    ]
    if verdict.void_after is not None:
        lines.append(f"  void after {verdict.void_after:%Y-%m-%d %H:%M}; ask again before then")
    rows = [_hour_row(verdict, hour, units) for hour in verdict.hours]
    columns = ("hour", "verdict", "measure", "value", "limit", "chance", "caution")
    lines.append(table_text(columns, rows))
    return "\n".join(lines)


def gate_text(settings: Settings, verdicts: Sequence[DayVerdict], mark: str, caution: str) -> str:
    """All verdicts, what was obeyed, and whose word comes first."""
    lines = [mark] if mark else []
    lines += [_verdict_text(verdict, settings.units) for verdict in verdicts]
    sources = dict.fromkeys(source for verdict in verdicts for source in verdict.sources)
    lines += ["Limits obeyed:", *(f"  {source}" for source in sources), "", caution]
    return "\n".join(lines)
