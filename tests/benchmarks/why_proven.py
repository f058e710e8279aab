"""Whether what is said to keep a stage out does: `python tests/benchmarks/why_proven.py`.

Every stage that ten generated weeks leave out (`tests/scheduling/why_cases.py`); CI does a few.
"""

import argparse
import sys
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "scheduling"))

from why_cases import generated_week, prove, why_out


def main() -> None:
    """Prints the table of DEVELOPERS.md, and each stage for which nothing was proven."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--weeks", type=int, default=10)
    found: dict[str, Counter[str]] = {}
    slowest = 0.0
    for seed in range(asked.parse_args().weeks):
        week = generated_week(seed)
        for out in week.plan.unplaced:
            begun = time.process_time()
            kept = why_out(week, out.stage)
            slowest = max(slowest, time.process_time() - begun)
            proof = prove(week, out.stage, kept)
            how = "placed" if proof.placed else "a tenth" if proof.holds else "neither"
            rules = " and ".join(kept.rules) or "nothing named"
            found.setdefault(rules, Counter())[how] += 1
            if not proof.holds or len(kept.rules) != 1:
                reasons = ", ".join(dict.fromkeys(reason.kind for reason in out.reasons))
                print(f"week {seed}, {out.stage} ({reasons}): {rules}: {proof}", flush=True)
    print("| named | stages | waived: placed | a tenth of the price | neither |")
    print("|---|---|---|---|---|")
    whole = sum(found.values(), Counter[str]())
    for rules, counts in [*sorted(found.items()), ("all", whole)]:
        cells = (counts[how] for how in ("placed", "a tenth", "neither"))
        print(f"| {rules} | {counts.total()} | {' | '.join(map(str, cells))} |")
    print(f"slowest answer: {slowest:.1f} s of the processor")


if __name__ == "__main__":
    main()
