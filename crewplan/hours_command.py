"""The command `hours`: where the hours went, and what each job made."""

from enum import StrEnum
from typing import Annotated

import typer

from crewplan.command_parts import (
    Folder,
    Format,
    Now,
    Shape,
    UsageFault,
    day_of,
    mark_clock,
    print_json,
    progress,
    read,
    say,
    warn,
)


class ByChoice(StrEnum):
    """What the lines are."""

    job = "job"
    crew = "crew"
    cause = "cause"
    week = "week"
    stage = "stage"


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
        calibration: Annotated[
            bool,
            typer.Option("--calibration", help="How often hours stayed under P50, P80 and P90."),
        ] = False,
        now: Now = None,
        shape: Shape = Format.table,
    ) -> None:
        """Say where the hours went: worked, lost, earned, and what each job made."""
        if calibration:
            if first or last or by is not ByChoice.job:
                raise UsageFault("--calibration takes the whole record, without --by, --from, --to")
            _calibration(folder, now, shape)
            return
        from crewplan.model.ledger import Span
        from crewplan.publishing.hours_text import question_sentences, unpriced_sentence
        from crewplan.running.hours_record import hours_record

        span = Span(day_of(first) if first else None, day_of(last) if last else None)
        if span.first is not None and span.last is not None and span.last < span.first:
            raise UsageFault(f"--to {span.last} lies before --from {span.first}")
        branch, clock = read(folder, now)
        record = hours_record(branch, clock, by.value, span)
        unpriced = unpriced_sentence(record.in_all)
        warn(
            (
                *branch.warnings,
                *question_sentences(record.questions),
                *((unpriced,) if unpriced else ()),
            )
        )
        if shape is Format.json:
            from crewplan.publishing.hours_json import hours_json

            print_json(hours_json(record, branch.settings.currency, clock.kind))
        elif shape is Format.csv:
            from crewplan.publishing.csv_text import csv_text
            from crewplan.publishing.hours_rows import hours_cells, hours_columns

            say(csv_text(hours_columns(by.value), hours_cells(record.lines)))
        else:
            from crewplan.publishing.hours_text import hours_text

            settings = branch.settings
            say(hours_text(record, settings.name, settings.currency, clock.mark))
        mark_clock(clock, shape)


def _calibration(folder: str, now: str | None, shape: Format) -> None:
    from crewplan.publishing.calibration_text import (
        HELD_COLUMNS,
        calibration_json,
        calibration_text,
        held_cells,
    )
    from crewplan.running.learning import calibration

    branch, clock = read(folder, now)
    warn(branch.warnings)
    with progress("Forecasting again what is finished ..."):
        found = calibration(branch, clock)
    if shape is Format.json:
        print_json(calibration_json(found, clock.kind))
    elif shape is Format.csv:
        from crewplan.publishing.csv_text import csv_text

        say(csv_text(HELD_COLUMNS, held_cells(found)))
    else:
        say(calibration_text(found, branch.settings.name, clock.mark))
    mark_clock(clock, shape)
