"""How often what is promised is done by the day told.

    python tests/benchmarks/promise_calibration.py

`tests/scheduling/promise_cases.py` says what is invented. CI does a tenth.
"""

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "scheduling"))

from promise_cases import calibration
from scipy.stats import binomtest


def main() -> None:
    """Prints the table of DEVELOPERS.md."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--repeats", type=int, default=400)
    repeats = asked.parse_args().repeats
    found = calibration(repeats)
    print(f"{repeats} repeats, in {found.told} of them both days were told")
    print("| told | draws done by it | truths done by it | 95 % interval |\n|---|---|---|---|")
    rows = zip(("day of 50 %", "day of 80 %"), found.drawn, found.done, strict=True)
    for name, drawn, count in rows:
        low, high = binomtest(count, found.told).proportion_ci(method="exact")
        share = f"{count / found.told:.1%} | {low:.1%} to {high:.1%}"
        print(f"| {name} | {drawn / found.told:.1%} | {share} |")


if __name__ == "__main__":
    main()
