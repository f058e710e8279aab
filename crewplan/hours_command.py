"""The command `hours`: where the hours went, and what each job made."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from crewplan.command_parts import (
    Folder,
    Now,
    UsageFault,
    complain,
    day_of,
    print_json,
    progress,
    read,
    say,
    warn,
    write_whole,
)

if TYPE_CHECKING:
    from crewplan.model.branch import Branch
    from crewplan.model.closed import Closing
    from crewplan.model.ledger import HoursRecord, Span
    from crewplan.publishing.sheets import Sheet
    from crewplan.running.clock import Clock


class ByChoice(StrEnum):
    """What the lines are."""

    job = "job"
    crew = "crew"
    cause = "cause"
    week = "week"
    stage = "stage"
    authority = "authority"
    supplier = "supplier"
    limit = "limit"
    part = "part"


class HoursFormat(StrEnum):
    """How the answer is printed."""

    table = "table"
    json = "json"
    csv = "csv"
    xlsx = "xlsx"


@dataclass(frozen=True, slots=True)
class _Answer:
    """One answer in every shape; only the one asked for is made."""

    text: Callable[[], str]
    json: Callable[[], Any]
    sheets: Callable[[], "Sequence[Sheet]"]
    """The first is the CSV; a workbook has them all."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """What the call says."""

    folder: str
    by: ByChoice
    span: "Span"
    now: str | None
    margins: bool


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""

    @app.command()
    def hours(
        folder: Folder,
        by: Annotated[ByChoice, typer.Option("--by", help="What the lines are.")] = ByChoice.job,
        first: Annotated[
            str | None, typer.Option("--from", metavar="DAY", help="First day [the record's].")
        ] = None,
        last: Annotated[
            str | None, typer.Option("--to", metavar="DAY", help="Last day [the record's].")
        ] = None,
        margins: Annotated[
            bool,
            typer.Option("--margins", help="From price to margin, who lost most first."),
        ] = False,
        changes: Annotated[
            bool,
            typer.Option("--changes", help="What to change, from what was lost again and again."),
        ] = False,
        calibration: Annotated[
            bool,
            typer.Option("--calibration", help="How often hours stayed under P50, P80 and P90."),
        ] = False,
        expected: Annotated[
            bool,
            typer.Option("--expected", help="What published plans expected, and what happened."),
        ] = False,
        close: Annotated[
            str | None,
            typer.Option("--close", metavar="MONTH", help="Keep a month's figures as they are."),
        ] = None,
        closed_by: Annotated[
            str | None,
            typer.Option(
                "--closed-by", metavar="NAME", help="Who closes it [the name you are logged in by]."
            ),
        ] = None,
        out: Annotated[
            Path | None, typer.Option("--out", metavar="FILE", help="Where a workbook goes.")
        ] = None,
        now: Now = None,
        shape: Annotated[
            HoursFormat, typer.Option("--format", help="How the answer is printed.")
        ] = HoursFormat.table,
    ) -> None:
        """Say where the hours went: worked, lost, earned, and what each job made."""
        from crewplan.model.ledger import Span

        if (shape is HoursFormat.xlsx) != (out is not None):
            raise UsageFault("--format xlsx and --out FILE go together")
        whole = {"--calibration": calibration, "--expected": expected, "--close": bool(close)}
        others = {"--margins": margins, "--changes": changes, **whole}
        said = [word for word, is_said in others.items() if is_said]
        if len(said) > 1:
            raise UsageFault(f"{' and '.join(said)} go one at a time")
        if any(whole.values()) and (first or last or by is not ByChoice.job):
            raise UsageFault(f"{said[0]} is of the whole record: without --by, --from, --to")
        if margins and by is not ByChoice.job:
            raise UsageFault("--margins tells jobs")
        span = Span(day_of(first) if first else None, day_of(last) if last else None)
        if span.first is not None and span.last is not None and span.last < span.first:
            raise UsageFault(f"--to {span.last} lies before --from {span.first}")
        if close:
            if shape is not HoursFormat.table:
                raise UsageFault("--close prints no table: ask for the month's days afterwards")
            from crewplan.hours_closing import close_month_of

            close_month_of(folder, close, closed_by, now)
            return
        asked = _Asked(folder, by, span, now, margins)
        answer, clock = {
            "--changes": _changes,
            "--calibration": _calibration,
            "--expected": _expected,
        }.get("".join(said), _record)(asked)
        _print(answer, shape, out)
        if clock.mark and shape is not HoursFormat.table:
            complain(clock.mark)


def _print(answer: _Answer, shape: HoursFormat, out: Path | None) -> None:
    from crewplan.publishing.sheets import sheet_csv, sheets_xlsx

    if out is not None:
        sheets = answer.sheets()
        write_whole(out, sheets_xlsx(sheets))
        rows = sum(len(sheet.rows) for sheet in sheets)
        say(f"{out} was written: {rows} rows on {len(sheets)} sheets.")
    elif shape is HoursFormat.json:
        print_json(answer.json())
    elif shape is HoursFormat.csv:
        say(sheet_csv(answer.sheets()[0]))
    else:
        say(answer.text())


def _record(asked: _Asked) -> "tuple[_Answer, Clock]":
    from crewplan.publishing.closing_text import closed_sentence, correction_sentences
    from crewplan.publishing.hours_json import hours_json
    from crewplan.publishing.hours_rows import hours_sheet
    from crewplan.publishing.hours_text import (
        hours_text,
        margins_answer,
        question_sentences,
        unpriced_sentence,
    )
    from crewplan.publishing.margins_text import margins_sheet
    from crewplan.publishing.standings_text import standings_sheet

    branch, clock = read(asked.folder, asked.now)
    record, closing = _figures(asked, branch, clock)
    unpriced = unpriced_sentence(record.in_all)
    warn((*branch.warnings, *question_sentences(record.questions), *filter(None, [unpriced])))
    if closing is not None:
        for sentence in (closed_sentence(closing), *correction_sentences(closing)):
            complain(sentence)
    settings = branch.settings
    text = margins_answer if asked.margins else hours_text
    margins = [margins_sheet(record)] if record.margins else []
    standings = [standings_sheet(record)] if record.standings else []
    return _Answer(
        lambda: text(record, settings.name, settings.currency, clock.mark),
        lambda: hours_json(record, settings.currency, clock.kind, closing),
        lambda: margins if asked.margins else [hours_sheet(record), *margins, *standings],
    ), clock


def _figures(
    asked: _Asked, branch: "Branch", clock: "Clock"
) -> "tuple[HoursRecord, Closing | None]":
    """As they are, or of a closed month as they were."""
    from crewplan.model.closed import whole_month
    from crewplan.running.hours_record import hours_record
    from crewplan.store.place import has_database, place_of

    month = whole_month(asked.span)
    if month is not None and has_database(asked.folder):
        from crewplan.store.closed_months import closed_figures
        from crewplan.store.connecting import open_store

        with open_store(place_of(asked.folder)).read() as connection:
            kept = closed_figures(connection, month, asked.by.value)
        if kept is not None:
            return kept
    return hours_record(branch, clock, asked.by.value, asked.span), None


def _changes(asked: _Asked) -> "tuple[_Answer, Clock]":
    from crewplan.ledger.findings import ENOUGH_CASES, WEEKS
    from crewplan.publishing.findings_text import findings_json, findings_sheet, findings_text
    from crewplan.running.hours_record import what_to_change

    branch, clock = read(asked.folder, asked.now)
    warn(branch.warnings)
    found, settings = what_to_change(branch, clock, asked.span), branch.settings
    named = (settings.name, settings.currency)
    return _Answer(
        lambda: findings_text(found, *named, ENOUGH_CASES, WEEKS, clock.mark),
        lambda: findings_json(found, settings.currency, clock.kind),
        lambda: [findings_sheet(found)],
    ), clock


def _calibration(asked: _Asked) -> "tuple[_Answer, Clock]":
    from crewplan.publishing.calibration_text import (
        calibration_json,
        calibration_text,
        held_sheet,
    )
    from crewplan.running.learning import calibration

    branch, clock = read(asked.folder, asked.now)
    warn(branch.warnings)
    with progress("Forecasting again what is finished ..."):
        found = calibration(branch, clock)
    return _Answer(
        lambda: calibration_text(found, branch.settings.name, clock.mark),
        lambda: calibration_json(found, clock.kind),
        lambda: [held_sheet(found)],
    ), clock


def _expected(asked: _Asked) -> "tuple[_Answer, Clock]":
    from crewplan.labour.calibration import LEAST_CASES
    from crewplan.publishing.expected_text import (
        NOTHING_KEPT,
        expected_json,
        expected_sheet,
        expected_text,
    )
    from crewplan.running.hours_record import held_to_record
    from crewplan.store.place import has_database, place_of

    branch, clock = read(asked.folder, asked.now)
    warn(branch.warnings)
    kept: tuple[Any, ...] = ()
    if has_database(asked.folder):
        from crewplan.store.connecting import open_store
        from crewplan.store.expectations import kept_expectations

        with open_store(place_of(asked.folder)).read() as connection:
            kept = kept_expectations(connection)
    else:
        complain(NOTHING_KEPT)
    found = held_to_record(branch, clock, kept)
    return _Answer(
        lambda: expected_text(found, branch.settings.name, LEAST_CASES, clock.mark),
        lambda: expected_json(found, clock.kind),
        lambda: [expected_sheet(found)],
    ), clock
