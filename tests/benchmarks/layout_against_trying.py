"""Attachments of 500 random planes against brute force: `python tests/benchmarks/NAME.py [N]`."""

import sys
import time
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1] / "takeoff")]

from layout_twin import best_by_trying, random_plane  # noqa: E402

from crewplan.takeoff.array import SeatedArray, seat_array  # noqa: E402

SEED = 20261125


def found(array: SeatedArray) -> tuple[int, int, int, int]:
    """In the order of the twin's `Best`."""
    rails = (*array.lower, *array.upper)
    seated = [seats for seats in rails if seats is not None]
    return (
        len(rails) - len(seated),
        sum(seats.excess_mm > 0 for seats in seated),
        array.shared,
        sum(len(seats.places_mm) for seats in seated),
    )


def compare(planes: int, seed: int = SEED) -> dict[str, int]:
    """How many planes keep fewer rules than the best, or keep as many with more penetrations."""
    rng = np.random.default_rng(seed)
    counts = dict.fromkeys(
        ("planes", "staggered", "all rules kept", "fewer rules kept", "more penetrations"), 0
    )
    for number in range(planes):
        stretches, known, spaces, cantilever, tolerance = random_plane(rng)
        staggered = number % 2 == 1
        span = spaces * known.spacing_mm
        array = seat_array(stretches, known, spaces, cantilever, (-tolerance, tolerance), staggered)
        ours = found(array)
        best = best_by_trying(stretches, known, span, cantilever, tolerance, staggered)
        counts["planes"] += 1
        counts["staggered"] += staggered
        counts["all rules kept"] += ours[:3] == (0, 0, 0)
        counts["fewer rules kept"] += ours[:3] > best[:3]
        worse = ours[:3] == best[:3] == (0, 0, 0) and ours[3] > best[3]
        counts["more penetrations"] += worse
        if ours[:3] > best[:3] or worse:
            print(number, staggered, ours, best, stretches, known, spaces, cantilever, tolerance)
    return counts


def main() -> None:
    """Print the table."""
    begun = time.perf_counter()
    counts = compare(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
    for name, count in counts.items():
        print(f"| {name} | {count} |")
    print(f"| seconds | {time.perf_counter() - begun:.0f} |")


if __name__ == "__main__":
    main()
