"""The command `replay`: past weather again, under rival ways to plan."""

from typing import Annotated

import typer

from crewplan.command_parts import (
    EXIT_INPUT,
    Folder,
    Format,
    Now,
    Shape,
    UsageFault,
    complain,
    day_of,
    mark_clock,
    print_json,
    progress,
    read,
    say,
    warn,
)


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""

    @app.command()
    def replay(
        folder: Folder,
        policy: Annotated[
            list[str] | None,
            typer.Option("--policy", metavar="NAME", help="Who decides; may come again [all]."),
        ] = None,
        first: Annotated[
            str | None, typer.Option("--from", metavar="DAY", help="First day [of past weather].")
        ] = None,
        last: Annotated[
            str | None, typer.Option("--to", metavar="DAY", help="Last day [of past weather].")
        ] = None,
        year: Annotated[
            int | None, typer.Option("--year", min=1900, max=2200, help="A whole year.")
        ] = None,
        seeds: Annotated[int, typer.Option("--seeds", min=1, max=100, help="How often.")] = 1,
        jobs_a_week: Annotated[
            float | None,
            typer.Option("--jobs-a-week", min=0.1, max=500, help="Sold [1.5 a crew]."),
        ] = None,
        own: Annotated[
            bool, typer.Option("--own-jobs", help="The folder's jobs in place of drawn ones.")
        ] = False,
        times: Annotated[
            float,
            typer.Option("--errors", min=0, max=5, help="Times the forecasts' assumed errors."),
        ] = 1.0,
        add_crew: Annotated[
            str | None,
            typer.Option("--add-crew", metavar="CREW", help="With one more crew like this one."),
        ] = None,
        limit: Annotated[
            list[str] | None,
            typer.Option("--limit", metavar="LIMIT", help="A stricter one: gust_mph=22."),
        ] = None,
        now: Now = None,
        shape: Shape = Format.table,
    ) -> None:
        """Replay past weather: what would other ways to decide have cost?"""
        from crewplan.model.whatif import Supposition
        from crewplan.publishing.csv_text import csv_text
        from crewplan.publishing.replay_text import (
            COLUMNS,
            replay_json,
            replay_rows,
            replay_text,
        )
        from crewplan.replay import POLICIES
        from crewplan.running.replaying import Asked, NothingToReplay, replays
        from crewplan.running.supposed_limit import LimitFault, supposed_limit

        names = tuple(policy or POLICIES)
        for name in names:
            if name not in POLICIES:
                raise UsageFault(f"--policy {name}: expected one of {', '.join(POLICIES)}")
        if year is not None and (first or last):
            raise UsageFault("--year goes without --from and --to")
        branch, clock = read(folder, now)
        warn(branch.warnings)
        if add_crew is not None and add_crew not in {crew.crew for crew in branch.crews}:
            raise UsageFault(f"--add-crew {add_crew}: there is no such crew")
        try:
            limits = tuple(supposed_limit(branch, text) for text in limit or ())
        except LimitFault as fault:
            raise UsageFault(f"--limit: {fault}") from None
        asked = Asked(
            names,
            day_of(first) if first else None,
            day_of(last) if last else None,
            year,
            seeds,
            jobs_a_week,
            own,
            times,
        )
        supposed = Supposition(another_like=add_crew, limits=limits)
        try:
            with progress("Replaying past weather ..."):
                found = replays(branch, asked, supposed)
        except NothingToReplay as fault:
            complain(f"crewplan: {fault}.")
            raise typer.Exit(EXIT_INPUT) from None
        if shape is Format.json:
            print_json(replay_json(found, clock.kind))
        elif shape is Format.csv:
            say(csv_text(COLUMNS, replay_rows(found)))
        else:
            say(replay_text(found, branch.settings.currency, clock.mark))
        mark_clock(clock, shape)
