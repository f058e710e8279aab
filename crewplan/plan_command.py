"""`crewplan plan`: which crew goes to which roof on which day."""

from contextlib import nullcontext
from typing import Annotated

import typer

from crewplan.command_parts import (
    EXIT_NO,
    By,
    Days,
    Engine,
    EngineChoice,
    Folder,
    Format,
    FromDay,
    Now,
    OutsideFault,
    Seconds,
    Shape,
    as_json,
    complain,
    day_of,
    mark_clock,
    person,
    read_open,
    say,
    warn,
)
from crewplan.keypress import watched


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(plan)


def plan(
    folder: Folder,
    from_day: FromDay = None,
    days: Days = 10,
    publish: Annotated[
        bool, typer.Option("--publish", help="Make it the published plan, keeping the former.")
    ] = False,
    by: By = None,
    engine: Engine = EngineChoice.auto,
    seconds: Seconds = 10,
    gap: Annotated[
        float,
        typer.Option(
            "--gap", min=0, max=1, help="Good enough: at most this share above the best possible."
        ),
    ] = 0.002,
    steps: Annotated[
        int | None,
        typer.Option(
            "--steps", min=1, help="Stop after so much work instead of --seconds: repeatable."
        ),
    ] = None,
    seed: Annotated[int, typer.Option("--seed", min=0, help="Of the solver's own dice.")] = 0,
    now: Now = None,
    shape: Shape = Format.table,
) -> None:
    """Decide which crew goes to which roof on which day.

    At a terminal Enter ends the search with the best plan so far; so does Ctrl-C, except with
    --publish, where nothing is published then.
    """
    from crewplan.intake.published import plan_csv
    from crewplan.publishing.plan_json import plan_json
    from crewplan.publishing.plan_rows import plan_rows
    from crewplan.publishing.plan_text import plan_text
    from crewplan.running.expecting import expectations
    from crewplan.running.week import plan_week
    from crewplan.scheduling import Stop
    from crewplan.store.publisher import publisher

    first = day_of(from_day) if from_day else None
    published = None
    with publisher(folder, person(by), seconds) if publish else nullcontext() as put:
        branch, clock = read_open(folder, now)
        warn(branch.warnings)
        stop = Stop(seconds if steps is None else None, gap, steps, seed=seed)
        with watched("Looking for the best week ...", ctrl_c_keeps=not publish) as watch:
            week = plan_week(
                branch,
                clock,
                first=first,
                days=days,
                engine=engine.value,
                stop=stop,
                publishing=publish,
                watch=watch,
            )
        rows = plan_rows(week.plan, branch.plan)
        # all that can go wrong with the answer goes wrong before anything is published
        answer = {
            Format.json: lambda: as_json(plan_json(week.plan, clock.kind)),
            Format.csv: lambda: plan_csv(rows),
            Format.table: lambda: plan_text(branch, week.plan, clock.mark),
        }[shape]()
        if put is not None:
            try:
                published = put(
                    rows, clock.now, expectations(week.plan, branch.settings, week.hours)
                )
            except OSError as error:
                raise OutsideFault(
                    f"plan.csv could not be written ({error.strerror}); "
                    "the former plan is unchanged"
                ) from None
    say(answer)
    if published is not None:
        warn(published.flagged)
        told = f"Published as plan {published.number} (version {published.version})."
        (say if shape is Format.table else complain)(told)
    mark_clock(clock, shape)
    if any(unplaced.answer_is_no for unplaced in week.plan.unplaced):
        raise typer.Exit(EXIT_NO)
