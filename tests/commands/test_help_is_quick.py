"""`crewplan --help` must not wait for what it does not need."""

import resource
import subprocess
import sys

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


def processor_s(*words: str) -> float:
    """Least of five runs: what it takes, and not what else the machine does."""
    taken = []
    for _ in range(5):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, *words], check=True, capture_output=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        taken.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(taken)


def test_help_loads_no_heavy_package() -> None:
    code = (
        "import sys; from crewplan.cli import app\n"
        "app(['--help'], standalone_mode=False)\n"
        f"print([name for name in {HEAVY} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_help_takes_at_most_three_tenths_of_a_second_beyond_pythons_own_start() -> None:
    assert processor_s("-m", "crewplan.cli", "--help") - processor_s("-c", "pass") <= 0.3
