"""10,000 damaged answers of feeds through reading, checks and gate; prints how they end.

python tests/benchmarks/feed_answers.py [--count 10000]
"""

import argparse
import sys
import time
from pathlib import Path

TESTS = Path(__file__).parents[1]
sys.path[:0] = [str(TESTS.parent), str(TESTS), str(TESTS / "feeds")]

from mutated import mutate_and_gate  # noqa: E402


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=10_000)
    count = asked.parse_args().count
    began = time.perf_counter()
    counted = mutate_and_gate(count, seed=7)
    print(f"| of {count} damaged answers | |\n|---|---|")
    for end, many in counted.items():
        print(f"| {end} | {many} |")
    print("| errors of the program's own | 0 |")
    print(f"in {time.perf_counter() - began:.0f} s")
    if counted["go while it blows"]:
        sys.exit(1)


if __name__ == "__main__":
    main()
