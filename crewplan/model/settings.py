"""What branch.toml says: the branch's place, its working time and how careful it is."""

from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, doc

Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
WEEKDAYS: tuple[Weekday, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MOST_OVERTIME_H = 6
"""Hours a day that a branch may allow at most. Assumed."""


@dataclass(frozen=True, slots=True)
class Holidays:
    """Which public holidays are days off, by the holidays package's names."""

    country: Annotated[str, doc("two letters, `US`")]
    subdivision: Annotated[str, doc("state or province, `MN`; empty: the country's")] = ""


@dataclass(frozen=True, slots=True)
class Demo:
    """Only in a folder that says `invented = true`."""

    now: Annotated[datetime, doc("the clock, set by hand; `--now` wins over it")]


@dataclass(frozen=True, slots=True)
class FeedSettings:
    """Where the forecast comes from; without it, `weather` is a table that people bring."""

    kind: Annotated[
        Literal["table", "grid", "ensemble"],
        doc("table: people bring it; grid: the US public forecast; ensemble: an open interface"),
    ] = "table"
    host: Annotated[str, doc("`https://...`; empty: the public one of the grid")] = ""
    contact: Annotated[str, doc("address by which the provider can reach you; sent along")] = ""
    model: Annotated[str, doc("of the ensemble, as its interface names it")] = "ncep_gefs025"
    key: Annotated[str, doc("of the ensemble's host; CREWPLAN_FEED_KEY wins over it")] = ""
    spacing_km: Annotated[
        float, Ge(2), Le(25), doc("sites so near to each other share one forecast; assumed")
    ] = 10.0


@dataclass(frozen=True, slots=True)
class Settings:
    """branch.toml. Settings that would undo the gate are faults."""

    name: Annotated[str, doc("of the branch")]
    timezone: Annotated[str, doc("IANA name, `America/Chicago`")]
    latitude: Annotated[float, Ge(-90), Le(90), doc("of the branch, degrees")]
    longitude: Annotated[float, Ge(-180), Le(180), doc("of the branch, degrees, east positive")]
    units: Annotated[Literal["us", "metric"], doc("of tables on screen and pages")] = "us"
    currency: Annotated[str, doc("ISO 4217, `USD`")] = "USD"
    locale: Annotated[
        str, doc("how pages write days and numbers, `en_US`, `en_DE`; empty: 4 May, 1,234.5")
    ] = ""
    invented: Annotated[bool, doc("true: all of the folder is made up")] = False
    holidays: Annotated[Holidays | None, doc("public holidays that are days off")] = None
    closed_on: Annotated[tuple[date, ...], doc("the company's own days off")] = ()
    open_on: Annotated[tuple[date, ...], doc("worked all the same, over the holidays")] = ()
    shift_start: Annotated[time, doc("local")] = time(7, 0)
    shift_h: Annotated[float, Gt(0), Le(14), doc("from start to end, break included")] = 9.0
    break_h: Annotated[float, Ge(0), Le(4), doc("taken out of the middle of the shift")] = 0.5
    overtime_max_h: Annotated[float, Ge(0), Le(MOST_OVERTIME_H), doc("a day")] = 0.0
    workdays: Annotated[tuple[Weekday, ...], doc("days of the week")] = (
        "mon",
        "tue",
        "wed",
        "thu",
        "fri",
    )
    overtime_factor: Annotated[float, Ge(1), Le(5), doc("cost of an overtime hour / an hour")] = 1.5
    other_crew_cost: Annotated[
        float,
        Ge(0),
        Le(100_000),
        doc("price of a stage with another crew than the one that started the job"),
    ] = 0.0
    uneven_hour_cost: Annotated[
        float,
        Ge(0),
        Le(1000),
        doc("a plan's price of an hour between its busiest and its idlest crew, in 0.60 steps"),
    ] = 0.0
    travel_kmh: Annotated[float, Gt(0), Le(130), doc("mean speed on the road")] = 50.0
    detour_factor: Annotated[float, Ge(1), Le(5), doc("road length / straight line")] = 1.3
    freeze_days: Annotated[
        int, Ge(0), Le(30), doc("today and this many working days are kept as published")
    ] = 2
    go_probability: Annotated[
        float, Gt(0), Le(1), doc("least P(go) and P(finish) of a placement, for planning")
    ] = 0.7
    gate_probability: Annotated[
        float, Ge(0.8), Le(1), doc("least P(go) of the verdict, and inside the frozen days")
    ] = 0.9
    ready_probability: Annotated[
        float, Gt(0), Le(1), doc("least P(ready) beyond the frozen days")
    ] = 0.8
    worst_weather_weight: Annotated[
        float,
        Ge(0),
        Le(1),
        doc("in a placement's price: what the worst tenth of weathers costs more than the mean"),
    ] = 0.0
    weather_reach_km: Annotated[
        float, Gt(0), Le(100), doc("how far from its place a forecast counts for lifting; assumed")
    ] = 25.0
    weather_max_age_h: Annotated[float, Gt(0), Le(24), doc("oldest forecast for the gate")] = 12.0
    reading_wait_h: Annotated[
        float,
        Ge(0.25),
        Le(8),
        doc("a measured wind over a limit shuts the work for so long; assumed"),
    ] = 0.5
    weather_members: Annotated[
        int | None, Ge(1), doc("members of a full forecast, if more than the table shows")
    ] = None
    requirements: Annotated[
        dict[str, tuple[str, ...]], doc("what a kind of stage waits for, in place of the defaults")
    ] = field(default_factory=dict)
    comes_after: Annotated[
        dict[str, tuple[str, ...]],
        doc("requirements to have before a kind can be asked for, in place of the default's"),
    ] = field(default_factory=dict)
    lead_time_half_life_days: Annotated[
        float | None, Ge(30), Le(3650), doc("an answer so old counts half; empty: all count alike")
    ] = None
    crew_lent_per_day: Annotated[
        float | None,
        Ge(0),
        doc(
            "a crew lent to a neighbouring branch costs that so much a day; empty: none comes, goes"
        ),
    ] = None
    crew_lent_within_km: Annotated[
        float, Gt(0), Le(1000), doc("how far from here a branch is a neighbour; assumed")
    ] = 100.0
    trainees_count: Annotated[
        bool, doc("whether a trainee is one of the people that a stage needs")
    ] = True
    open_jobs_max: Annotated[
        int,
        Ge(0),
        Le(10),
        doc("jobs that a crew may leave open at once, to come back to; 0: none is broken off"),
    ] = 1
    open_day_cost: Annotated[
        float,
        Ge(0),
        Le(100_000),
        doc("price of each working day that a begun job is left open; from a trial, assumed"),
    ] = 75.0
    lending_cost_per_day: Annotated[
        float | None,
        Ge(0),
        doc("lending a person to another crew for a day costs so much; empty: nobody is lent"),
    ] = None
    feed: Annotated[FeedSettings | None, doc("where the forecast comes from")] = None
    demo: Annotated[Demo | None, doc("clock of an invented folder")] = None
