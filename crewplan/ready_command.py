"""`crewplan ready`: what each stage still waits for, and whom to call today."""

import json
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

EXIT_NO = 1


class Shape(StrEnum):
    """How the answer is printed."""

    table = "table"
    json = "json"
    csv = "csv"


def _from_day(text: str | None) -> date | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(
            f"{text!r} is not a day; expected one such as 2026-05-04"
        ) from None


def _instant(text: str | None) -> datetime | None:
    if text is None:
        return None
    try:
        instant = datetime.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(
            f"--now {text!r} is not a time; expected one such as 2026-05-03T18:00:00-05:00"
        ) from None
    if instant.tzinfo is None:
        raise typer.BadParameter(f"--now {text!r} has no UTC offset")
    return instant


def ready(
    folder: Annotated[Path, typer.Argument(help="A branch folder (CSV tables or one workbook).")],
    stage: Annotated[str | None, typer.Option("--stage", help="Only this one, day by day.")] = None,
    from_day: Annotated[
        str | None,
        typer.Option("--from", metavar="DAY", help="First day shown [the next working day]."),
    ] = None,
    days: Annotated[int, typer.Option("--days", min=1, max=60, help="Working days shown.")] = 10,
    chase: Annotated[
        bool, typer.Option("--chase", help="Today's calls, the dearest delay first.")
    ] = False,
    now: Annotated[
        str | None,
        typer.Option("--now", metavar="TIME", help="Set the clock by hand (ISO 8601 with offset)."),
    ] = None,
    shape: Annotated[Shape, typer.Option("--format", help="How it is printed.")] = Shape.table,
) -> None:
    """Say what each stage still waits for, how likely it is there by a day, and whom to call."""
    first, by_hand = _from_day(from_day), _instant(now)
    from crewplan.intake import read_folder
    from crewplan.publishing.csv_text import csv_text
    from crewplan.publishing.ready_json import (
        CALL_COLUMNS,
        READY_COLUMNS,
        call_cells,
        calls_json,
        ready_cells,
        ready_json,
    )
    from crewplan.publishing.ready_text import calls_text, ready_text
    from crewplan.running.clock import read_clock
    from crewplan.running.readying import UnknownStage, ask_ready

    branch = read_folder(folder, by_hand)
    clock = read_clock(branch.settings, by_hand)
    try:
        view = ask_ready(branch, clock, first, days, stage=stage)
    except UnknownStage as error:
        raise typer.BadParameter(str(error)) from None
    for sentence in branch.warnings:
        typer.echo(f"warning: {sentence}", err=True)
    if shape is Shape.json:
        told = calls_json(view) if chase else ready_json(view)
        typer.echo(json.dumps(told, ensure_ascii=False, indent=2))
    elif shape is Shape.csv:
        columns, cells = (
            (CALL_COLUMNS, call_cells(view)) if chase else (READY_COLUMNS, ready_cells(view))
        )
        typer.echo(csv_text(columns, cells), nl=False)
    else:
        typer.echo(
            calls_text(view, clock.mark)
            if chase
            else ready_text(view, clock.mark, one=stage is not None)
        )
    if clock.mark and shape is not Shape.table:
        typer.echo(clock.mark, err=True)
    if stage is not None and not all(map(view.ready_on_its_day, view.stages)):
        raise typer.Exit(EXIT_NO)
