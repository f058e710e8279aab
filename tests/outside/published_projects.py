"""The published projects of ../shared/benchmarks, and the shortest length of each.

Sources: shared/benchmarks/README.md. Single mode (`.sm`): Ghent University solution list,
2024-09-18. Several modes (`.mm`): a published run with status optimum.
"""

from pathlib import Path

import psplib
from project_time_indexed import Project

FILES = Path(__file__).parents[3] / "shared" / "benchmarks"

SHORTEST = {
    "j301_1.sm": 43,
    "j305_3.sm": 76,
    "j3013_4.sm": 72,
    "j3045_1.sm": 82,
    "j601_1.sm": 77,
    "m510_1.mm": 15,
    "r125_10.mm": 16,
    "m225_7.mm": 31,
    "c154_3.mm": 34,
    "j1010_1.mm": 17,
    "j2010_3.mm": 20,
    "j1034_5.mm": 22,
}


def read_project(name):
    """A project by its file's name, as `j301_1.sm`."""
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
