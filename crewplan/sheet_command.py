"""The command `sheet`: what a crew needs for one stage, to print, to read or for programs."""

import os
import sys
from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from crewplan.command_parts import (
    EXIT_NO,
    Days,
    Folder,
    FromDay,
    Now,
    OutsideFault,
    UsageFault,
    as_json,
    complain,
    day_of,
    person,
    progress,
    read_open,
    say,
    warn,
    write_whole,
)
from crewplan.sheet_day import day_sheets

if TYPE_CHECKING:
    from crewplan.publishing.crew_sheet import SheetFacts


class SheetFormat(StrEnum):
    """What the sheet is printed as."""

    table = "table"
    json = "json"
    csv = "csv"
    html = "html"
    pdf = "pdf"


_BY_SUFFIX = {
    ".pdf": SheetFormat.pdf,
    ".html": SheetFormat.html,
    ".htm": SheetFormat.html,
    ".json": SheetFormat.json,
    ".csv": SheetFormat.csv,
    ".txt": SheetFormat.table,
}


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""

    @app.command()
    def sheet(
        folder: Folder,
        stage: Annotated[
            str | None, typer.Argument(help="A stage of the folder; or --day for all of a day.")
        ] = None,
        day: Annotated[
            str | None,
            typer.Option("--day", metavar="DAY", help="All sheets of this day in one PDF."),
        ] = None,
        out: Annotated[
            Path | None, typer.Option("--out", metavar="PATH", help="Write it there.")
        ] = None,
        shape: Annotated[
            SheetFormat | None,
            typer.Option("--format", help="How it is printed [by --out, else table]."),
        ] = None,
        paper: Annotated[
            Literal["a4", "letter"] | None,
            typer.Option("--paper", help="Of a PDF [letter where units are us, else a4]."),
        ] = None,
        from_day: FromDay = None,
        days: Days = 10,
        engine: Annotated[
            Literal["auto", "highs", "cp-sat"],
            typer.Option("--engine", help="Which solver answers."),
        ] = "auto",
        seconds: Annotated[
            float,
            typer.Option("--seconds", min=0.5, max=3600, help="Longest time for the solver."),
        ] = 10,
        now: Now = None,
    ) -> None:
        """Print the crew's sheet of one stage: who, when, go or no-go, load, roof, checks."""
        from crewplan.model.calendar import local_day
        from crewplan.running.sheeting import sheet_facts
        from crewplan.running.week import plan_week
        from crewplan.store.keeping_verdicts import keep_verdicts
        from crewplan.store.reading import hours_missed, readings_of_day

        if (stage is None) == (day is None):
            raise UsageFault("give a stage, or --day and a day for all sheets of the day")
        kind = _format_of(shape, out)
        if day is not None:
            if kind is not SheetFormat.pdf:
                raise UsageFault("the sheets of a day are one PDF: say where with --out DAY.pdf")
            data = day_sheets(folder, day_of(day), paper, engine, seconds, now)
            _put(data, out)
            return
        assert stage is not None  # the first lines have seen to it
        first = day_of(from_day) if from_day else None
        branch, clock = read_open(folder, now, stages=(stage,))
        if stage not in {row.stage for row in branch.stages}:
            raise UsageFault(f"{stage!r} is no stage of {folder}; stages.csv lists them")
        warn(branch.warnings)
        with progress("Looking for the best week ..."):
            week = plan_week(branch, clock, first=first, days=days, engine=engine, seconds=seconds)
        today = local_day(branch.settings, clock.now)
        lost = hours_missed(folder, today)
        facts = sheet_facts(week, stage, readings_of_day(folder, today), lost)
        _put(_written(facts, paper)[kind](), out)
        crew = facts.planned.placement.crew if facts.planned is not None else ""
        warn(keep_verdicts(folder, facts.verdicts, person(None), "sheet", crew))
        if clock.mark and kind is not SheetFormat.table:
            complain(clock.mark)
        if facts.unplaced is not None and facts.unplaced.answer_is_no:
            raise typer.Exit(EXIT_NO)


def _format_of(shape: SheetFormat | None, out: Path | None) -> SheetFormat:
    """What was asked for, or what the file's ending says.

    Raises:
        UsageFault: where neither says it, or a PDF would go to a screen.
    """
    if shape is None and out is not None:
        if out.suffix.lower() not in _BY_SUFFIX:
            raise UsageFault(f"--out {str(out)!r} ends in none of {', '.join(_BY_SUFFIX)}")
        shape = _BY_SUFFIX[out.suffix.lower()]
    if shape is SheetFormat.pdf and out is None and sys.stdout is not None and sys.stdout.isatty():
        raise UsageFault("a PDF is not for a screen: say where it goes with --out")
    return shape or SheetFormat.table


def _written(
    facts: "SheetFacts", paper: Literal["a4", "letter"] | None
) -> dict[SheetFormat, "Callable[[], str | bytes]"]:
    """A writer for each format, which loads what it needs."""
    from crewplan.publishing.crew_sheet import crew_sheet

    def pdf() -> bytes:
        from crewplan.publishing.crew_sheet.as_pdf import PAPER_OF, sheet_pdf

        return sheet_pdf(crew_sheet(facts), paper or PAPER_OF[facts.units])

    def html() -> str:
        from crewplan.publishing.crew_sheet.as_html import sheet_html

        return sheet_html(crew_sheet(facts))

    def text() -> str:
        from crewplan.publishing.crew_sheet.as_text import sheet_text

        return sheet_text(crew_sheet(facts)) + "\n"

    def json() -> str:
        from crewplan.publishing.crew_sheet.as_json import sheet_json

        return as_json(sheet_json(facts)) + "\n"

    def csv() -> str:
        from crewplan.publishing.crew_sheet.loading import LOAD_COLUMNS, load_cells
        from crewplan.publishing.csv_text import csv_text

        return csv_text(LOAD_COLUMNS, load_cells(facts))

    return {
        SheetFormat.pdf: pdf,
        SheetFormat.html: html,
        SheetFormat.table: text,
        SheetFormat.json: json,
        SheetFormat.csv: csv,
    }


def _put(answer: str | bytes, out: Path | None) -> None:
    """To the file, whole or not at all; else to stdout.

    Raises:
        OutsideFault: where it cannot be written.
    """
    if out is None:
        if isinstance(answer, str):
            say(answer)
        else:
            _put_bytes(answer)
        return
    write_whole(out, answer.encode() if isinstance(answer, str) else answer)


def _put_bytes(data: bytes) -> None:
    if sys.stdout is None:
        return
    try:
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise OutsideFault(f"the sheet could not be printed ({error.strerror})") from None
