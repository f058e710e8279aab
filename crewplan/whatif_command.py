"""The command `whatif`: what the plan would cost, move and break if something were otherwise."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from crewplan.command_parts import (
    EXIT_NO,
    Days,
    Folder,
    Format,
    FromDay,
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

if TYPE_CHECKING:
    from crewplan.model.branch import Branch
    from crewplan.model.limit_row import Limit
    from crewplan.model.whatif import Supposition


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""

    @app.command()
    def whatif(
        folder: Folder,
        stage: Annotated[str | None, typer.Option("--stage", help="A stage, with --day.")] = None,
        day: Annotated[
            str | None, typer.Option("--day", metavar="DAY", help="The day it would start on.")
        ] = None,
        crew: Annotated[str | None, typer.Option("--crew", help="The crew it would be.")] = None,
        without: Annotated[
            tuple[str, str] | None,
            typer.Option(
                "--without",
                metavar="crew|person NAME",
                help="A crew, or somebody, who would be away on all days planned.",
            ),
        ] = None,
        add_crew: Annotated[
            bool, typer.Option("--add-crew", help="One crew more; --like says which it is like.")
        ] = False,
        like: Annotated[
            str | None, typer.Option("--like", metavar="CREW", help="[the first crew]")
        ] = None,
        limit: Annotated[
            list[str] | None,
            typer.Option(
                "--limit",
                metavar="MEASURE=VALUE",
                help="A stricter one, such as gust_mph=22 or roof.wind_mph=20 [lift].",
            ),
        ] = None,
        from_day: FromDay = None,
        days: Days = 10,
        seconds: Annotated[
            float,
            typer.Option("--seconds", min=0.5, max=3600, help="Longest time for each plan."),
        ] = 10,
        now: Now = None,
        shape: Shape = Format.table,
    ) -> None:
        """Say what the plan would cost, move and break if something were otherwise."""
        from crewplan.model.whatif import Supposition, Wanted
        from crewplan.publishing.whatif_json import whatif_json
        from crewplan.publishing.whatif_text import MOVE_COLUMNS, move_cells, whatif_text
        from crewplan.running.supposing import what_if

        if (stage is None) != (day is None):
            raise UsageFault("--stage and --day go together")
        if crew is not None and stage is None:
            raise UsageFault("--crew says who does --stage on --day")
        if like is not None and not add_crew:
            raise UsageFault("--like says which crew --add-crew is like")
        first = day_of(from_day) if from_day else None
        wanted = Wanted(stage, day_of(day), crew) if stage is not None and day else None
        branch, clock = read_open(folder, now, stages=(stage,) if stage else ())
        warn(branch.warnings)
        supposition = Supposition(
            wanted,
            without_crews=(without[1],) if without and without[0] == "crew" else (),
            away=(without[1],) if without and without[0] == "person" else (),
            another_like=_like(branch, like) if add_crew else None,
            limits=tuple(_limit(branch, text) for text in limit or ()),
        )
        _hold_names(branch, supposition, without)
        if supposition.empty:
            raise UsageFault(
                "nothing is supposed; see --stage and --day, --without, --add-crew, --limit"
            )
        with progress("Planning twice ..."):
            answer = what_if(branch, clock, supposition, first=first, days=days, seconds=seconds)
        comparison = answer.comparison
        if shape is Format.json:
            print_json(whatif_json(supposition, comparison, clock.kind))
        elif shape is Format.csv:
            from crewplan.publishing.csv_text import csv_text

            say(csv_text(MOVE_COLUMNS, move_cells(comparison.moves)))
        else:
            say(whatif_text(branch, supposition, comparison, clock.mark))
        mark_clock(clock, shape)
        if comparison.refused:
            raise typer.Exit(EXIT_NO)


def _like(branch: "Branch", like: str | None) -> str:
    if like is not None:
        return like
    if not branch.crews:
        raise UsageFault("there is no crew that another could be like")
    return branch.crews[0].crew


def _hold_names(
    branch: "Branch", supposition: "Supposition", without: Sequence[str] | None
) -> None:
    """Raise UsageFault where a name stands in no table."""
    if without and without[0] not in ("crew", "person"):
        raise UsageFault(f"--without {without[0]!r}: expected crew or person, and a name")
    wanted = supposition.wanted
    asked_crews = [*supposition.without_crews]
    asked_crews += [supposition.another_like] if supposition.another_like is not None else []
    asked_crews += [wanted.crew] if wanted is not None and wanted.crew is not None else []
    crews = {row.crew for row in branch.crews}
    for name in asked_crews:
        if name not in crews:
            raise UsageFault(f"{name!r} is no crew; crews.csv lists them")
    for name in supposition.away:
        if name not in {row.person for row in branch.people}:
            raise UsageFault(f"{name!r} is nobody's name; people.csv lists them")
    if wanted is not None and wanted.stage not in {row.stage for row in branch.stages}:
        raise UsageFault(f"{wanted.stage!r} is no stage; stages.csv lists them")


def _limit(branch: "Branch", text: str) -> "Limit":
    """A limit of the call, in the unit inside.

    Raises:
        UsageFault: where it cannot be read, or is looser than what holds.
    """
    from crewplan.running.supposed_limit import LimitFault, supposed_limit

    try:
        return supposed_limit(branch, text)
    except LimitFault as fault:
        raise UsageFault(f"--limit {text!r}: {fault}") from None
