"""`crewplan --help` must not wait for what it does not need."""

import statistics
import subprocess
import sys
import time

HEAVY = (
    "pandas",
    "numpy",
    "scipy",
    "ortools",
    "highspy",
    "dash",
    "plotly",
    "pydantic",
    "rich",
    "sqlalchemy",
)


def seconds(*words: str) -> float:
    """Median of five runs."""
    taken = []
    for _ in range(5):
        start = time.perf_counter()
        subprocess.run([sys.executable, *words], check=True, capture_output=True)
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def test_help_loads_no_heavy_package() -> None:
    code = (
        "import sys; from crewplan.cli import app\n"
        "app(['--help'], standalone_mode=False)\n"
        f"print([name for name in {HEAVY} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_help_takes_at_most_three_tenths_of_a_second_beyond_pythons_own_start() -> None:
    assert seconds("-m", "crewplan.cli", "--help") - seconds("-c", "pass") <= 0.3
