"""The command `calendar`: a crew's published days as a file that calendars read."""

from pathlib import Path
from typing import Annotated

import typer

from crewplan.command_parts import (
    Folder,
    Now,
    UsageFault,
    read_open,
    say,
    warn,
    write_whole,
)


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""

    @app.command()
    def calendar(
        folder: Folder,
        crew: Annotated[str, typer.Option("--crew", help="Whose days.")],
        out: Annotated[
            Path | None, typer.Option("--out", metavar="FILE", help="Write it there [the screen].")
        ] = None,
        now: Now = None,
    ) -> None:
        """Write a crew's published days as an iCalendar file; what fell out is cancelled in it."""
        from crewplan.intake.former_plans import plan_lives_of_folder
        from crewplan.publishing.crew_calendar import calendar_ics
        from crewplan.running.calendars import crew_events
        from crewplan.store.plan_lives import plan_lives_of

        branch, _ = read_open(folder, now)
        if crew not in {row.crew for row in branch.crews}:
            raise UsageFault(f"{crew!r} is no crew of this branch; the table crews lists them")
        warn(branch.warnings)
        lives = plan_lives_of(folder)
        if lives is None:
            lives = plan_lives_of_folder(Path(folder), branch.plan)
        events = crew_events(branch, crew, lives)
        told = calendar_ics(branch.settings.name, crew, events)
        if out is None:
            say(told.decode())
        else:
            write_whole(out, told)
