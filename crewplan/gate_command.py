"""The command `gate`: whether the weather lets people work, and what was measured there."""

from enum import StrEnum
from typing import Annotated

import typer

from crewplan.command_parts import (
    EXIT_NO,
    By,
    Folder,
    Format,
    Now,
    Shape,
    UsageFault,
    day_of,
    mark_clock,
    person,
    print_json,
    read_open,
    say,
    warn,
)


class ExposureChoice(StrEnum):
    """Where people stand while they work."""

    ground = "ground"
    roof = "roof"
    lift = "lift"


def gate(
    folder: Folder,
    day: Annotated[
        str | None,
        typer.Option(
            "--day", metavar="DAY", help="[today until its shift ends, else the next working day]"
        ),
    ] = None,
    job: Annotated[str | None, typer.Option("--job", help="At this job's site.")] = None,
    crew: Annotated[
        str | None, typer.Option("--crew", help="Where the published plan has this crew.")
    ] = None,
    exposure: Annotated[
        ExposureChoice | None, typer.Option("--exposure", help="Only this one.")
    ] = None,
    reading: Annotated[
        list[str] | None,
        typer.Option(
            "--reading", metavar="NAME=VALUE", help="Wind measured there: gust_mph=24, wind_mps=7."
        ),
    ] = None,
    at: Annotated[
        str | None, typer.Option("--at", metavar="HH:MM", help="When it was measured [now].")
    ] = None,
    by: By = None,
    now: Now = None,
    shape: Shape = Format.table,
) -> None:
    """Say whether the weather lets people work, hour by hour."""
    from crewplan.model.work_rows import EXPOSURES
    from crewplan.publishing.gate_json import gate_json
    from crewplan.publishing.gate_text import GATE_COLUMNS, gate_cells, gate_text
    from crewplan.publishing.site_cautions import ADVICE_ONLY
    from crewplan.running.gating import UnknownName, ask_gate, default_day
    from crewplan.running.measured import BadReading, measured
    from crewplan.running.measured_where import where_it_counts
    from crewplan.store.keeping_readings import keep_reading
    from crewplan.store.keeping_verdicts import keep_verdicts
    from crewplan.store.reading import readings_of_day

    if job and crew:
        raise UsageFault("--job and --crew go one at a time")
    by_day = day_of(day) if day else None
    branch, clock = read_open(folder, now, jobs=(job,) if job else ())
    warn(branch.warnings)
    asked_day = by_day or default_day(branch, clock)
    readings = readings_of_day(folder, asked_day)
    if reading:
        try:
            new = measured(
                branch,
                clock,
                asked_day,
                reading,
                at,
                job=job or "",
                crew=crew or "",
                by=person(by),
            )
        except BadReading as error:
            raise UsageFault(str(error)) from None
        readings = (*readings, new.reading)
    elif at:
        raise UsageFault("--at goes with --reading")
    exposures = [one for one in EXPOSURES if exposure in (None, ExposureChoice(one))]
    try:
        verdicts = ask_gate(
            branch, clock, asked_day, job=job, crew=crew, exposures=exposures, readings=readings
        )
    except UnknownName as error:
        raise UsageFault(str(error)) from None
    if reading and not keep_reading(
        folder, where_it_counts(branch, new.reading), new.contents, asked_day
    ):
        warn(
            (
                "without a database the reading counts for this answer only; "
                "crewplan import makes one",
            )
        )
    if shape is Format.json:
        print_json(gate_json(verdicts))
    elif shape is Format.csv:
        from crewplan.publishing.csv_text import csv_text

        say(csv_text(GATE_COLUMNS, gate_cells(verdicts)))
    else:
        say(gate_text(branch.settings, verdicts, clock.mark, ADVICE_ONLY))
    mark_clock(clock, shape)
    # told first: a database that is busy or full keeps nobody waiting for the word
    warn(keep_verdicts(folder, verdicts, person(by), "gate", crew or ""))
    if any(verdict.verdict != "go" for verdict in verdicts):
        raise typer.Exit(EXIT_NO)


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""
    app.command()(gate)
