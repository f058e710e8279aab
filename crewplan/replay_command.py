"""The command `replay`: past weather again, under rival ways to plan."""

from datetime import time
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, get_args

import typer

from crewplan.command_parts import (
    EXIT_INPUT,
    Folder,
    Format,
    Now,
    OutsideFault,
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

if TYPE_CHECKING:
    from crewplan.model.job_rows import LiftMethod
    from crewplan.model.replay_score import Replays


def _lift_method(text: str | None) -> "LiftMethod | None":
    from crewplan.model.job_rows import LiftMethod

    known: tuple[LiftMethod, ...] = get_args(LiftMethod)
    found = next((one for one in known if one == text), None)
    if text is not None and found is None:
        raise UsageFault(f"--lift-method {text}: expected one of {', '.join(known)}")
    return found


def _time_of(text: str | None) -> time | None:
    if text is None:
        return None
    try:
        found = time.fromisoformat(text)
    except ValueError:
        found = None
    if found is None or found.tzinfo is not None:
        raise UsageFault(f"--shift-start {text}: expected a time of day such as 06:00") from None
    return found


def _draw(path: Path, found: "Replays", currency: str) -> None:
    from dashboard.figures.replayed import replayed_document

    try:
        path.write_text(replayed_document(found, currency), encoding="utf-8")
    except OSError as error:
        raise OutsideFault(f"{path} could not be written ({error.strerror})") from None


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
        lift_method: Annotated[
            str | None,
            typer.Option("--lift-method", metavar="METHOD", help="All modules up by it: boom."),
        ] = None,
        shift_start: Annotated[
            str | None,
            typer.Option("--shift-start", metavar="TIME", help="Another start of shift: 06:00."),
        ] = None,
        plot: Annotated[
            Path | None,
            typer.Option("--plot", metavar="FILE", help="Draw it into an HTML file as well."),
        ] = None,
        now: Now = None,
        shape: Shape = Format.table,
    ) -> None:
        """Replay past weather: what would other ways to decide have cost?"""
        from crewplan.model.whatif import Supposition
        from crewplan.publishing.csv_text import csv_text
        from crewplan.publishing.replay_text import (
            COLUMNS,
            evening_lines,
            replay_json,
            replay_rows,
            replay_text,
        )
        from crewplan.replay import POLICIES
        from crewplan.running.replaying import Asked, NothingToReplay, SupposedPast, replays
        from crewplan.running.supposed_limit import LimitFault, supposed_limit
        from crewplan.store.kept_forecasts import kept_forecasts

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
        supposed = SupposedPast(
            Supposition(another_like=add_crew, limits=limits),
            _lift_method(lift_method),
            _time_of(shift_start),
        )
        forecasts = tuple(kept_forecasts(folder, branch.settings))
        try:
            with progress("Replaying past weather ..."):
                found = replays(branch, asked, supposed, forecasts)
        except NothingToReplay as fault:
            complain(f"crewplan: {fault}.")
            raise typer.Exit(EXIT_INPUT) from None
        for line in evening_lines(found):
            complain(line)
        if plot is not None:
            _draw(plot, found, branch.settings.currency)
        if shape is Format.json:
            print_json(replay_json(found, clock.kind))
        elif shape is Format.csv:
            say(csv_text(COLUMNS, replay_rows(found)))
        else:
            say(replay_text(found, branch.settings.currency, clock.mark))
        mark_clock(clock, shape)
