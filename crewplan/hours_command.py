"""The command `hours`: where the hours went, and what each job made."""

import json
from collections.abc import Callable
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from crewplan.model.branch import Branch
    from crewplan.running.clock import Clock


class ByChoice(StrEnum):
    """What the lines are."""

    job = "job"
    crew = "crew"
    cause = "cause"
    week = "week"
    stage = "stage"


class ShapeChoice(StrEnum):
    """How the answer is printed."""

    table = "table"
    json = "json"
    csv = "csv"


def _day(text: str | None) -> date | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(
            f"{text!r} is not a day; expected one such as 2026-05-04"
        ) from None


def _warn(sentence: str) -> None:
    typer.echo(f"warning: {sentence}", err=True)


def register(app: typer.Typer, read: "Callable[[Path, str | None], tuple[Branch, Clock]]") -> None:
    """Add the command to the program's; `read` reads a branch folder and its clock."""

    @app.command()
    def hours(
        folder: Annotated[
            Path, typer.Argument(help="A branch folder (CSV tables or one workbook).")
        ],
        by: Annotated[ByChoice, typer.Option("--by", help="What the lines are.")] = ByChoice.job,
        first: Annotated[
            str | None, typer.Option("--from", metavar="DAY", help="First day [the record's].")
        ] = None,
        last: Annotated[
            str | None, typer.Option("--to", metavar="DAY", help="Last day [the record's].")
        ] = None,
        now: Annotated[
            str | None,
            typer.Option(
                "--now", metavar="TIME", help="Set the clock by hand (ISO 8601 with offset)."
            ),
        ] = None,
        shape: Annotated[
            ShapeChoice, typer.Option("--format", help="How the answer is printed.")
        ] = ShapeChoice.table,
    ) -> None:
        """Say where the hours went: worked, lost, earned, and what each job made."""
        from crewplan.model.ledger import Span
        from crewplan.publishing.hours_text import question_sentences, unpriced_sentence
        from crewplan.running.hours_record import hours_record

        span = Span(_day(first), _day(last))
        if span.first is not None and span.last is not None and span.last < span.first:
            raise typer.BadParameter(f"--to {span.last} lies before --from {span.first}")
        branch, clock = read(folder, now)
        record = hours_record(branch, clock, by.value, span)
        for sentence in (*branch.warnings, *question_sentences(record.questions)):
            _warn(sentence)
        if unpriced := unpriced_sentence(record.in_all):
            _warn(unpriced)
        if shape is ShapeChoice.json:
            from crewplan.publishing.hours_json import hours_json

            told = hours_json(record, branch.settings.currency, clock.kind)
            typer.echo(json.dumps(told, ensure_ascii=False, indent=2, allow_nan=False))
        elif shape is ShapeChoice.csv:
            from crewplan.publishing.csv_text import csv_text
            from crewplan.publishing.hours_rows import hours_cells, hours_columns

            typer.echo(csv_text(hours_columns(by.value), hours_cells(record.lines)), nl=False)
        else:
            from crewplan.publishing.hours_text import hours_text

            settings = branch.settings
            typer.echo(hours_text(record, settings.name, settings.currency, clock.mark))
        if clock.mark and shape is not ShapeChoice.table:
            typer.echo(clock.mark, err=True)
