"""The command `ready`: what each stage still waits for, and whom to call today."""

from typing import Annotated

import typer

from crewplan.command_parts import (
    EXIT_NO,
    Folder,
    Format,
    Now,
    Shape,
    UsageFault,
    day_of,
    mark_clock,
    print_json,
    read_open,
    say,
    warn,
)


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""

    @app.command()
    def ready(
        folder: Folder,
        stage: Annotated[
            str | None, typer.Option("--stage", help="Only this one, day by day.")
        ] = None,
        from_day: Annotated[
            str | None,
            typer.Option("--from", metavar="DAY", help="First day shown [the next working day]."),
        ] = None,
        days: Annotated[
            int, typer.Option("--days", min=1, max=60, help="Working days shown.")
        ] = 10,
        chase: Annotated[
            bool, typer.Option("--chase", help="Today's calls, the dearest delay first.")
        ] = False,
        now: Now = None,
        shape: Shape = Format.table,
    ) -> None:
        """Say what each stage waits for, how likely it is there by a day, and whom to call."""
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
        from crewplan.running.readying import UnknownStage, ask_ready

        first = day_of(from_day) if from_day else None
        branch, clock = read_open(folder, now, stages=(stage,) if stage else ())
        try:
            view = ask_ready(branch, clock, first, days, stage=stage)
        except UnknownStage as error:
            raise UsageFault(str(error)) from None
        warn(branch.warnings)
        if shape is Format.json:
            print_json(calls_json(view) if chase else ready_json(view))
        elif shape is Format.csv and chase:
            say(csv_text(CALL_COLUMNS, call_cells(view)))
        elif shape is Format.csv:
            say(csv_text(READY_COLUMNS, ready_cells(view)))
        elif chase:
            say(calls_text(view, clock.mark))
        else:
            say(ready_text(view, clock.mark, one=stage is not None))
        mark_clock(clock, shape)
        if not all(map(view.ready_on_its_day, view.stages)) and stage is not None:
            raise typer.Exit(EXIT_NO)
