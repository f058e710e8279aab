"""The command `diff`: what a plan made now would change in the published one."""

import typer

from crewplan.command_parts import (
    EXIT_NO,
    Days,
    Folder,
    Format,
    FromDay,
    Now,
    Repair,
    Shape,
    day_of,
    mark_clock,
    print_json,
    progress,
    read_open,
    say,
    warn,
)


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""

    @app.command()
    def diff(
        folder: Folder,
        from_day: FromDay = None,
        days: Days = 10,
        repair: Repair = False,
        now: Now = None,
        shape: Shape = Format.table,
    ) -> None:
        """Say what a plan made now would change in the published one, and who must be told."""
        from crewplan.publishing.diff_text import NOT_PUBLISHED, diff_json, diff_text
        from crewplan.publishing.whatif_text import MOVE_COLUMNS, move_cells
        from crewplan.running.published_lent import lent_since_published
        from crewplan.running.replanning import repair_published
        from crewplan.running.since_published import since_published
        from crewplan.running.week import plan_week

        first = day_of(from_day) if from_day else None
        branch, clock = read_open(folder, now)
        warn(branch.warnings)
        with progress("Looking for the best week ..."):
            if repair:
                week = repair_published(branch, clock, first=first, days=days).week
            else:
                week = plan_week(branch, clock, first=first, days=days)
        moves = since_published(branch, week.plan)
        lent = lent_since_published(branch, week.plan)
        if shape is Format.json:
            print_json(diff_json(moves, lent, clock.kind))
        elif shape is Format.csv:
            from crewplan.publishing.csv_text import csv_text

            say(csv_text(MOVE_COLUMNS, move_cells(moves, NOT_PUBLISHED)))
        else:
            say(diff_text(branch, week.plan, moves, lent, clock.mark))
        mark_clock(clock, shape)
        if any(move.after is None for move in moves):
            raise typer.Exit(EXIT_NO)
