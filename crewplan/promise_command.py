"""The command `promise`: by which day a job that is not sold yet would be done."""

from typing import Annotated, Any, get_args

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
    progress,
    read_open,
    say,
    warn,
)


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""

    @app.command()
    def promise(
        folder: Folder,
        modules: Annotated[
            int | None, typer.Option("--modules", min=1, max=2000, help="How many.")
        ] = None,
        pitch: Annotated[
            float | None, typer.Option("--pitch", min=0, max=75, help="Of the roof, degrees.")
        ] = None,
        authority: Annotated[
            str | None, typer.Option("--authority", help="Who permits and inspects.")
        ] = None,
        utility: Annotated[str, typer.Option("--utility", help="Whose grid [not known].")] = "",
        module: Annotated[
            str, typer.Option("--module", help="A kind of module [the one used most].")
        ] = "",
        covering: Annotated[
            str, typer.Option("--covering", help="shingle, tile, metal or slate.")
        ] = "shingle",
        storeys: Annotated[int, typer.Option("--storeys", min=1, max=10)] = 1,
        electrical: Annotated[
            str, typer.Option("--electrical", help="none, standard, panel_upgrade or battery.")
        ] = "standard",
        lift_method: Annotated[
            str, typer.Option("--lift-method", help="hoist, boom, conveyor or ladder_hoist.")
        ] = "hoist",
        latitude: Annotated[
            float | None, typer.Option("--latitude", min=-90, max=90, help="[the branch's own]")
        ] = None,
        longitude: Annotated[
            float | None, typer.Option("--longitude", min=-180, max=180, help="[the branch's own]")
        ] = None,
        wind_factor: Annotated[
            float, typer.Option("--wind-factor", min=1, max=3, help="Of an exposed site.")
        ] = 1.0,
        in_hand: Annotated[
            list[str] | None,
            typer.Option("--in-hand", metavar="KIND", help="Not waited for, such as kit."),
        ] = None,
        day: Annotated[
            str | None, typer.Option("--day", metavar="DAY", help="No work before it.")
        ] = None,
        outlook: Annotated[
            bool,
            typer.Option(
                "--outlook", help="Twelve weeks of hours wanted and hours there, by skill, instead."
            ),
        ] = False,
        seed: Annotated[int, typer.Option("--seed", min=0, help="Of the draws.")] = 0,
        now: Now = None,
        shape: Shape = Format.table,
    ) -> None:
        """Say by which day a job that is not sold yet would be done, behind all promised ones."""
        from crewplan.model.job_rows import Covering, Electrical, LiftMethod
        from crewplan.running.new_job import Asked, CannotAsk
        from crewplan.running.promising import promise_of

        if outlook:
            if (modules, pitch, authority) != (None, None, None):
                raise UsageFault("--outlook is about all open stages, and about no new job")
            _outlook(folder, seed, now, shape)
            return
        if modules is None or pitch is None or authority is None:
            raise UsageFault("--modules, --pitch and --authority are needed (or --outlook)")
        if (latitude is None) != (longitude is None):
            raise UsageFault("--latitude and --longitude go together")
        asked = Asked(
            modules=modules,
            pitch_deg=pitch,
            authority=authority,
            utility=utility,
            module=module,
            covering=_one_of(Covering, covering, "--covering"),
            storeys=storeys,
            electrical=_one_of(Electrical, electrical, "--electrical"),
            lift_method=_one_of(LiftMethod, lift_method, "--lift-method"),
            latitude=latitude,
            longitude=longitude,
            wind_factor=wind_factor,
            in_hand=tuple(in_hand or ()),
            earliest_on=day_of(day) if day else None,
        )
        branch, clock = read_open(folder, now)
        warn(branch.warnings)
        try:
            with progress("Drawing weeks to come ..."):
                new, told = promise_of(branch, clock, asked, seed=seed)
        except CannotAsk as error:
            raise UsageFault(str(error)) from None
        from crewplan.publishing.promise_text import (
            PROMISE_COLUMNS,
            promise_cells,
            promise_json,
            promise_text,
        )

        if shape is Format.json:
            print_json(promise_json(new, told, seed, clock.kind))
        elif shape is Format.csv:
            from crewplan.publishing.csv_text import csv_text

            say(csv_text(PROMISE_COLUMNS, promise_cells(told)))
        else:
            say(promise_text(new, told, clock.mark))
        mark_clock(clock, shape)
        if told.done.likely_on is None:
            raise typer.Exit(EXIT_NO)


def _one_of(words: Any, word: str, option: str) -> Any:
    """The word, if the tables' own words have it: their types are only loaded when asked for.

    Raises:
        UsageFault: where they do not.
    """
    allowed = get_args(words)
    if word not in allowed:
        raise UsageFault(f"{option} {word!r}: expected one of {', '.join(allowed)}")
    return word


def _outlook(folder: str, seed: int, now: str | None, shape: Format) -> None:
    """Twelve weeks, by skill."""
    from crewplan.publishing.skills_text import SKILL_COLUMNS, skill_cells, skill_json, skill_text
    from crewplan.running.promising import outlook_of

    branch, clock = read_open(folder, now)
    warn(branch.warnings)
    with progress("Drawing weeks to come ..."):
        told = outlook_of(branch, clock, seed=seed)
    if shape is Format.json:
        print_json(skill_json(told, seed, clock.kind))
    elif shape is Format.csv:
        from crewplan.publishing.csv_text import csv_text

        say(csv_text(SKILL_COLUMNS, skill_cells(told)))
    else:
        say(skill_text(told, clock.mark))
    mark_clock(clock, shape)
