"""The command `rates`: what the hours worked say about the table's rates, and a new table of it."""

import os
from contextlib import suppress
from pathlib import Path
from typing import Annotated
from uuid import uuid4

import typer

from crewplan.command_parts import (
    EXIT_NO,
    Folder,
    Format,
    Now,
    OutsideFault,
    Shape,
    UsageFault,
    as_json,
    complain,
    mark_clock,
    progress,
    read,
    say,
    warn,
)


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""

    @app.command()
    def rates(
        folder: Folder,
        write: Annotated[
            Path | None,
            typer.Option("--write", metavar="PATH", help="Write a new table of rates there."),
        ] = None,
        now: Now = None,
        shape: Shape = Format.table,
    ) -> None:
        """Say what the hours worked make of each rate: before, learned, how sure, from how much."""
        from crewplan.labour import learned_table
        from crewplan.publishing.csv_text import csv_text
        from crewplan.publishing.rates_rows import (
            LEARNED_COLUMNS,
            learned_cells,
            rates_csv,
            rates_json,
        )
        from crewplan.publishing.rates_text import rates_text
        from crewplan.running.learning import learned_rates

        if write is not None:
            _refuse_taken(write)
        branch, clock = read(folder, now)
        warn(branch.warnings)
        with progress("Learning from the hours worked ..."):
            learned = learned_rates(branch, clock)
        answer = {
            Format.json: lambda: as_json(rates_json(learned, clock.kind)),
            Format.csv: lambda: csv_text(LEARNED_COLUMNS, learned_cells(learned)),
            Format.table: lambda: rates_text(learned, branch.settings.name, clock.mark),
        }[shape]()
        if write is not None and learned.stages:
            _put(rates_csv(learned_table(branch, learned)), write)
        say(answer)
        mark_clock(clock, shape)
        if write is not None and not learned.stages:
            complain(f"crewplan: there is nothing to learn from, so {write} was not written")
            raise typer.Exit(EXIT_NO)
        if write is not None:
            complain(f"{write} was written; as rates.csv of the folder it counts from then on")


def _refuse_taken(path: Path) -> None:
    if os.path.lexists(path):
        raise UsageFault(f"{path} is there already, and nothing is overwritten: name a new file")


def _put(text: str, path: Path) -> None:
    """Whole or not at all, and never over a file that is there.

    Raises:
        UsageFault: where somebody took the name meanwhile.
        OutsideFault: where it cannot be written.
    """
    fresh = path.with_name(f".{path.name}.{uuid4().hex}")
    try:
        with fresh.open("x", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        _name(fresh, path)
    except FileExistsError:
        _refuse_taken(path)
        raise OutsideFault(f"{path} could not be written (the name is taken)") from None
    except OSError as error:
        raise OutsideFault(f"{path} could not be written ({error.strerror})") from None
    finally:
        with suppress(OSError):
            fresh.unlink()


def _name(fresh: Path, path: Path) -> None:
    """Give the written file its name, unless that is taken."""
    try:
        os.link(fresh, path)
    except FileExistsError:
        raise
    except OSError:  # a disk without links
        _refuse_taken(path)
        os.rename(fresh, path)
