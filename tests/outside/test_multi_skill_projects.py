"""Multi-skill projects to their shortest length through the people rules (values solved to proof by
us, ../shared/benchmarks/README.md; instances of the MiniZinc challenge 2012).

Each activity is a stage of a crew without people of its own, which are lent to it: every team that
has the skills is a placement. A time unit is a day, so that nobody is in two teams in one.
"""

import re
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations
from pathlib import Path

import pytest

from crewplan.model.horizon import Horizon
from crewplan.model.placement import Choices, Lending, Placement, StageToPlace
from crewplan.scheduling import Stop, schedule

FOLDER = Path(__file__).parents[3] / "shared" / "benchmarks" / "mspsp"
FAR = 10_000_000


def read(name):
    text = (FOLDER / name).read_text(encoding="utf-8")

    def part(key):
        return re.search(rf"\b{key} = (.*?);", text, re.S).group(1)

    def sets(key):
        return [
            tuple(map(int, re.findall(r"\d+", one))) for one in re.findall(r"{(.*?)}", part(key))
        ]

    long = tuple(map(int, re.findall(r"\d+", part("d"))))
    need = [tuple(map(int, re.findall(r"\d+", row))) for row in part("rr").split("|")[1:-1]]
    return sets("has_skills"), long, list(zip(*need, strict=True)), sets("suc")


def has_all(team, skills):
    """Whether each of the skills wanted can be given somebody of his own (by trying)."""
    if not skills:
        return True
    return any(
        skills[0] in who and has_all(team[:i] + team[i + 1 :], skills[1:])
        for i, who in enumerate(team)
    )


def project(name, days):
    """Choices whose cheapest plan is the shortest project; the last stage's start is its length."""
    workers, long, need, after = read(name)
    horizon = Horizon(
        tuple(date(2026, 1, 1) + timedelta(days=n) for n in range(days + 1)), frozenset()
    )
    tasks = range(len(long))
    before = {a: [b for b in tasks if a + 1 in after[b]] for a in tasks}
    head, tail = [0] * len(long), [0] * len(long)
    for _ in tasks:
        for a in tasks:
            head[a] = max([head[b] + long[b] for b in before[a]], default=0)
            tail[a] = max([tail[b - 1] + long[b - 1] for b in after[a]], default=0)
    stages, placements = [], []

    def add(stage, first, length, cents, team=()):
        cells = tuple(range(2 * first, 2 * (first + length)))
        one = Placement(stage, f"of {stage}", cells, team, "", 1, 1, 0, 1, 1, 1, True, cents)
        return replace(one, joined=team)

    def stage(name, behind):
        unplaced = {"later": FAR}
        return StageToPlace(
            name,
            "J",
            "roof",
            "",
            horizon.days[-1],
            1,
            behind,
            0,
            {},
            {},
            unplaced,
            None,
            False,
            True,
        )

    for a in tasks:
        wanted = [k + 1 for k, count in enumerate(need[a]) for _ in range(count)]
        teams = [
            tuple(f"W{w}" for w in team)
            for team in combinations(range(len(workers)), len(wanted))
            if has_all([workers[w] for w in team], wanted)
        ]
        stages.append(stage(f"T{a}", tuple(f"T{b}" for b in before[a])))
        for first in range(head[a], days - tail[a] - long[a] + 1):
            placements += [add(f"T{a}", first, long[a], {}, team) for team in teams]
    stages.append(stage("end", tuple(f"T{a}" for a in tasks)))
    placements += [add("end", n, 1, {"length": n}) for n in range(days + 1)]
    crews = tuple(f"of {one.stage}" for one in stages)
    return Choices(
        horizon,
        crews,
        tuple(stages),
        tuple(placements),
        (),
        (4.0, 4.0),
        {},
        {},
        {},
        {},
        False,
        lending=Lending(0, {f"W{w}": "nobody's" for w in range(len(workers))}),
    )


@pytest.mark.skipif(not FOLDER.is_dir(), reason="../shared/benchmarks is not here")
@pytest.mark.parametrize(
    ("name", "length"),
    [
        ("easy_01.dzn", 26),
        ("easy_02.dzn", 35),
        ("easy_03.dzn", 26),
        ("medium_01.dzn", 19),
    ],
)
def test_a_multi_skill_project_takes_its_known_length(name, length):
    choices = project(name, length + 1)
    plan = schedule(choices, engine="cp-sat", stop=Stop(seconds=100, gap=0.0))
    assert not plan.unplaced
    assert plan.objective == plan.bound == length
