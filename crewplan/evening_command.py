"""The command `evening`: what each crew is told of tomorrow's weather, in a few lines."""

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
    person,
    print_json,
    read,
    say,
    warn,
)


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""

    @app.command()
    def evening(
        folder: Folder,
        day: Annotated[
            str | None, typer.Option("--day", metavar="DAY", help="[the next working day]")
        ] = None,
        crew: Annotated[str | None, typer.Option("--crew", help="Only this one.")] = None,
        now: Now = None,
        shape: Shape = Format.table,
    ) -> None:
        """Tell each crew when to lift, when to be down, what else to do, what would change it."""
        from crewplan.model.calendar import local_day, next_working_day
        from crewplan.publishing.evening_text import (
            EVENING_COLUMNS,
            evening_cells,
            evening_json,
            evening_text,
        )
        from crewplan.publishing.site_cautions import ADVICE_ONLY
        from crewplan.running.evening import evening_notes
        from crewplan.running.gating import UnknownName
        from crewplan.store.keeping_verdicts import keep_verdicts
        from crewplan.store.reading import readings_of_day

        asked = day_of(day) if day else None
        branch, clock = read(folder, now)
        warn(branch.warnings)
        settings = branch.settings
        by_day = asked or next_working_day(settings, local_day(settings, clock.now))
        try:
            told = evening_notes(
                branch, clock, by_day, crew=crew, readings=readings_of_day(folder, by_day)
            )
        except UnknownName as error:
            raise UsageFault(str(error)) from None
        notes = [note for note, _ in told]
        if shape is Format.json:
            print_json(evening_json(notes, clock.kind))
        elif shape is Format.csv:
            from crewplan.publishing.csv_text import csv_text

            say(csv_text(EVENING_COLUMNS, evening_cells(notes, clock.kind)))
        else:
            say(evening_text(notes, clock.mark, ADVICE_ONLY))
        mark_clock(clock, shape)
        crews = {note.stage: note.crew for note in notes if note.stage}
        verdicts = [verdict for _, of_site in told for verdict in of_site]
        warn(keep_verdicts(folder, verdicts, person(None), "evening", crews))
        if not all(note.all_go for note in notes):
            raise typer.Exit(EXIT_NO)
