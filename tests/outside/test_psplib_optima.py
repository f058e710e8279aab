"""Published shortest lengths of projects, found and proven through the scheduling core.

Source of instances and optima: project_numbers.py, and published_projects.py for those that are
read from files. `tests/benchmarks/published_optima.py` takes all of them by both engines.
"""

import pytest
from project_numbers import OPTIMUM
from project_time_indexed import time_indexed
from published_projects import FILES, SHORTEST, read_project

from crewplan.scheduling.engines import auto, engine
from crewplan.scheduling.engines.interface import settle
from crewplan.scheduling.stop import Stop

needs_files = pytest.mark.skipif(
    not FILES.is_dir(), reason="the published files of ../shared/benchmarks are not here"
)
HARD = {"j305_3.sm", "j3045_1.sm", "j3013_4.sm"}
"""Tight: HiGHS does not prove them in minutes; CP-SAT takes over a minute for the last."""


def proof(seed=0):
    return Stop(seconds=None, gap=0.0, steps=10_000_000, seed=seed)


def assert_shortest(project, name, optimum, stop):
    selection, start = time_indexed(project)
    result = engine(name)(selection, start, stop)
    assert (result.objective, result.bound, result.proven) == (optimum, optimum, True)


@pytest.mark.parametrize("name", ["highs", "cp-sat"])
@pytest.mark.parametrize("instance", sorted(OPTIMUM))
def test_both_engines_prove_the_published_optimum(instance, name):
    project, optimum = OPTIMUM[instance]
    assert_shortest(project, name, optimum, proof())


@needs_files
@pytest.mark.parametrize("name", ["highs", "cp-sat"])
@pytest.mark.parametrize(
    "file", sorted(file for file in SHORTEST.keys() - HARD if file[:-3] not in OPTIMUM)
)
def test_both_engines_prove_the_published_optimum_of_the_files(file, name):
    assert_shortest(read_project(file), name, SHORTEST[file], proof())


@needs_files
@pytest.mark.parametrize("file", ["j305_3.sm", "j3045_1.sm"])
def test_clause_learning_proves_the_tight_ones(file):
    assert_shortest(read_project(file), "cp-sat", SHORTEST[file], proof())


def test_auto_goes_on_with_clause_learning_where_branching_got_nowhere(monkeypatch):
    project, optimum = OPTIMUM["j1010_1"]
    selection, start = time_indexed(project)

    def nowhere(selection, start, stop, tell):
        return settle(selection, start, None, None, stop.steps)

    monkeypatch.setattr(auto, "highs", nowhere)
    told = []
    found = engine("auto")(selection, start, proof(), told.append)
    assert (found.solver, found.objective, found.proven) == ("cp-sat", optimum, True)
    assert max(known.bound for known in told) <= min(known.price for known in told)


@pytest.mark.parametrize("instance", ["m510_1", "r125_10"])
def test_booleans_give_the_published_optimum_with_every_seed(instance):
    project, optimum = OPTIMUM[instance]
    for seed in range(20):
        assert_shortest(project, "cp-sat", optimum, proof(seed))


@needs_files
def test_booleans_give_the_published_optimum_of_m225_7_with_every_seed():
    project = read_project("m225_7.mm")
    for seed in range(20):
        assert_shortest(project, "cp-sat", 31, proof(seed))


@needs_files
@pytest.mark.parametrize(
    ("file", "instance"),
    [
        ("j301_1.sm", "j301_1"),
        ("j1010_1.mm", "j1010_1"),
        ("c154_3.mm", "c154_3"),
        ("m510_1.mm", "m510_1"),
        ("r125_10.mm", "r125_10"),
    ],
)
def test_the_tables_of_numbers_say_what_the_published_files_say(file, instance):
    assert read_project(file) == OPTIMUM[instance][0]
