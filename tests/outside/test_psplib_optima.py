"""Published shortest lengths of projects, found and proven through the scheduling core.

Source of instances and optima: project_numbers.py, and shared/benchmarks/README.md for those that
are read from files (j305_3 76, j3045_1 82, j601_1 77: Ghent University solution list, 2024-09-18;
m225_7 31: a published run with status optimum).
"""

from pathlib import Path

import psplib
import pytest
from project_numbers import OPTIMUM
from project_time_indexed import Project, time_indexed

from crewplan.scheduling.engines import engine
from crewplan.scheduling.stop import Stop

FILES = Path(__file__).parents[3] / "shared" / "benchmarks"
needs_files = pytest.mark.skipif(
    not FILES.is_dir(), reason="the published files of ../shared/benchmarks are not here"
)


def proof(seed=0):
    return Stop(seconds=None, gap=0.0, steps=10_000_000, seed=seed)


def read(name):
    found = psplib.parse(FILES / f"psplib_{name.rpartition('.')[2]}" / name)
    return Project(
        tuple(resource.capacity for resource in found.resources),
        tuple(resource.renewable for resource in found.resources),
        tuple(
            tuple((mode.duration, tuple(mode.demands)) for mode in activity.modes)
            for activity in found.activities
        ),
        tuple(tuple(activity.successors) for activity in found.activities),
    )


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
def test_both_engines_prove_the_published_optimum_of_sixty_activities(name):
    assert_shortest(read("j601_1.sm"), name, 77, proof())


@needs_files
@pytest.mark.parametrize(("file", "optimum"), [("j305_3.sm", 76), ("j3045_1.sm", 82)])
def test_clause_learning_proves_the_tight_ones(file, optimum):
    assert_shortest(read(file), "cp-sat", optimum, proof())


def test_auto_goes_on_with_clause_learning_where_branching_is_not_done_by_half_of_the_steps():
    project, optimum = OPTIMUM["c154_3"]
    selection, start = time_indexed(project)
    half = engine("highs")(selection, start, Stop(seconds=None, gap=0.0, steps=1))
    assert half.bound < optimum <= half.objective
    told = []
    found = engine("auto")(selection, start, Stop(seconds=None, gap=0.0, steps=3), told.append)
    assert (found.solver, found.objective <= half.objective) == ("cp-sat", True)
    assert found.bound >= half.bound
    assert max(known.bound for known in told) <= min(known.price for known in told)


@pytest.mark.parametrize("instance", ["m510_1", "r125_10"])
def test_booleans_give_the_published_optimum_with_every_seed(instance):
    project, optimum = OPTIMUM[instance]
    for seed in range(20):
        assert_shortest(project, "cp-sat", optimum, proof(seed))


@needs_files
def test_booleans_give_the_published_optimum_of_m225_7_with_every_seed():
    project = read("m225_7.mm")
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
    assert read(file) == OPTIMUM[instance][0]
