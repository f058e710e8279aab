"""10,000 hostile uploads, `python tests/benchmarks/fuzzed_uploads.py`: sentences or a draft each.

Ends with exit code 1 where one of them gives anything else, a sentence that cannot be shown, or
takes too long. The table that it prints is kept in DEVELOPERS.md.
"""

import argparse
import resource
import shutil
import sys
import tempfile
import traceback
from collections import Counter, defaultdict
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1])]

from hostile_uploads import LONGEST_S, Outcome, ground, unfit, upload  # noqa: E402


def run(first: int, count: int, seed: int) -> tuple[list[Outcome], list[str]]:
    """Outcomes, and what went wrong."""
    outcomes: list[Outcome] = []
    wrong: list[str] = []
    folder = Path(tempfile.mkdtemp(prefix="crewplan-fuzz-"))
    try:
        against = ground(folder)
        for number in range(first, first + count):
            try:
                outcome = upload(number, against, seed)
            except Exception:  # what must never come
                wrong.append(f"upload {number}:\n{traceback.format_exc(limit=-6)}")
                continue
            finally:
                shutil.rmtree(folder / f"u{number}", ignore_errors=True)
            outcomes.append(outcome)
            wrong += [f"upload {number}: {one!r}" for one in outcome.sentences if unfit(one)]
            if outcome.seconds > LONGEST_S:
                wrong.append(f"upload {number}: {outcome.kind} took {outcome.seconds:.1f} s")
    finally:
        shutil.rmtree(folder)
    return outcomes, wrong


def table(outcomes: list[Outcome]) -> str:
    """Kinds and what became of them, as Markdown."""
    words: dict[str, Counter[str]] = defaultdict(Counter)
    slowest: dict[str, float] = defaultdict(float)
    for outcome in outcomes:
        words[outcome.kind][outcome.word] += 1
        slowest[outcome.kind] = max(slowest[outcome.kind], outcome.seconds)
    lines = ["| upload | faults told | read | slowest, s of a processor |", "|---|---|---|---|"]
    for kind in sorted(words):
        found = words[kind]
        lines.append(f"| {kind} | {found['faults']} | {found['read']} | {slowest[kind]:.2f} |")
    total = Counter(outcome.word for outcome in outcomes)
    most = max(slowest.values(), default=0)
    lines.append(f"| all {len(outcomes):,} | {total['faults']} | {total['read']} | {most:.2f} |")
    return "\n".join(lines)


def main() -> None:
    """Run, print, and tell by the exit code."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=10_000)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--seed", type=int, default=4)
    asked = parser.parse_args()
    outcomes, wrong = run(asked.first, asked.count, asked.seed)
    print(table(outcomes))
    sentences = sum(len(outcome.sentences) for outcome in outcomes)
    longest = max((len(one) for outcome in outcomes for one in outcome.sentences), default=0)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{sentences:,} sentences, the longest of {longest} characters; at most {peak:,.0f} MB.")
    for one in wrong:
        print(one, file=sys.stderr)
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
