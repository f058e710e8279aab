"""`crewplan plan`: which crew goes to which roof on which day."""

import re
from contextlib import nullcontext
from typing import Annotated

import typer

from crewplan.command_parts import (
    EXIT_NO,
    By,
    Days,
    Engine,
    EngineChoice,
    Format,
    FromDay,
    Now,
    OutsideFault,
    Repair,
    Seconds,
    Shape,
    UsageFault,
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


_ADDRESS = re.compile(r"local|(tcp|tls)://[^\s/@]+:[0-9]{1,5}")
STEPS = 2000
"""Of a search that is to find the same plan on any machine, unless another number is asked for."""
_OF_A_SEARCH = {"seconds": "--seconds", "gap": "--gap", "steps": "--search-steps", "seed": "--seed"}


def _only_what_a_repair_hears(context: typer.Context) -> None:
    """A repair solves small problems by steps of its own: what ends a long search says nothing.

    Raises:
        UsageFault: where such an option was given.
    """
    for name, option in _OF_A_SEARCH.items():
        source = context.get_parameter_source(name)
        if source is not None and source.name == "COMMANDLINE":
            raise UsageFault(
                f"{option} is about a search of the whole week; --repair has none, leave one out"
            )


def plan(
    context: typer.Context,
    folders: Annotated[
        list[str],
        typer.Argument(
            metavar="FOLDER...", help="Branch folders, or the addresses of their databases."
        ),
    ],
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
            "--search-steps",
            min=1,
            help="End the search by its steps, not by time: the same plan on any machine "
            f"[with --cluster {STEPS}].",
        ),
    ] = None,
    repair: Repair = False,
    seed: Annotated[int, typer.Option("--seed", min=0, help="Of the solver's own dice.")] = 0,
    cluster: Annotated[
        str | None,
        typer.Option(
            "--cluster",
            metavar="ADDRESS",
            help="Share branches out: `local`, or the address of a dask scheduler.",
        ),
    ] = None,
    workers: Annotated[
        int | None,
        typer.Option("--workers", min=1, max=512, help="Of --cluster local [one a processor]."),
    ] = None,
    now: Now = None,
    shape: Shape = Format.table,
) -> None:
    """Decide which crew goes to which roof on which day, in one branch or in many.

    At a terminal Enter ends the search of one branch with the best plan so far; so does Ctrl-C,
    except with --publish, where nothing is published then.
    """
    if workers is not None and cluster != "local":
        raise UsageFault("--workers goes with --cluster local; an address brings its own")
    if cluster is not None and not _ADDRESS.fullmatch(cluster):
        raise UsageFault(
            f"--cluster {cluster!r} is no place; expected local, or tcp:// or tls:// with host "
            "and port, such as tcp://10.0.0.5:8786"
        )
    if len(set(folders)) < len(folders):
        raise UsageFault("a branch is named twice")
    if repair:
        _only_what_a_repair_hears(context)
    first = day_of(from_day) if from_day else None
    if cluster is not None or len(folders) > 1:
        if repair:
            raise UsageFault("--repair goes with one branch")
        from crewplan.plan_many import Where, plan_many
        from crewplan.running.branch_task import Asked

        steps = STEPS if steps is None and cluster is not None else steps
        asked = Asked(first, days, engine.value, seconds, steps, publish, gap, seed)
        where = Where(cluster, workers)
        code = plan_many(folders, asked, where, by=by, by_hand=now, shape=shape)
        raise typer.Exit(code)
    (folder,) = folders
    from crewplan.intake.published import plan_csv
    from crewplan.publishing.plan_json import plan_json
    from crewplan.publishing.plan_rows import plan_rows
    from crewplan.publishing.plan_text import plan_text
    from crewplan.running.expecting import expectations
    from crewplan.running.replanning import repair_published
    from crewplan.running.week import plan_week
    from crewplan.scheduling import Stop
    from crewplan.store.publisher import publisher

    published = None
    with publisher(folder, person(by), seconds) if publish else nullcontext() as put:
        branch, clock = read_open(folder, now)
        warn(branch.warnings)
        stop = Stop(seconds if steps is None else None, gap, steps, seed=seed)
        with watched("Looking for the best week ...", ctrl_c_keeps=not publish) as watch:
            if repair:
                week = repair_published(
                    branch,
                    clock,
                    first=first,
                    days=days,
                    engine=engine.value,
                    publishing=publish,
                ).week
            else:
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
