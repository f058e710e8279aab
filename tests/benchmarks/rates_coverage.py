"""How honest learned rates are: PYTHONPATH=tests python tests/benchmarks/rates_coverage.py [N]

From 60 invented stages of one year with known truth, drawn from the prior, with residuals as
modelled: how often the 90 % intervals hold the true rate, all steps together; beside it the same
with heavy-tailed residuals of the same variance. Then 50 further stages that the fit has not seen:
error of their hours' forecast by hours per kW (of the same record), by the unlearned table, by the
learned rates, and by the true rates (nobody can do better).
"""

import sys
import time
from dataclasses import dataclass, replace

import numpy as np
from rates_cases import TODAY, invented

from crewplan.labour import stage_hours_all
from crewplan.labour.learning import learn, learned_table

RESIDUALS = {"as modelled": None, "Student's t, 5": 5, "Student's t, 3": 3}
FORECASTS = ("hours per kW", "unlearned table", "learned", "true rates")


@dataclass(frozen=True)
class Repeat:
    """What one invented branch showed."""

    held: np.ndarray
    """By rate with data: whether its interval held the truth."""
    all_held: np.ndarray
    """By rate, those without data as well."""
    width: np.ndarray
    """By rate with data: half of the interval's width on the log scale."""
    left_out: int
    error: dict[str, float]
    """By forecast: sum of absolute errors / sum of hours, of stages not seen."""


def repeat(seed: int, freedom: int | None) -> Repeat:
    """One branch invented, learned and held to its truth."""
    case = invented(seed, freedom=freedom)
    learned = learn(case.branch, case.takeoffs, TODAY)
    low, high = (np.array([getattr(row, at) for row in learned.rates]) for at in ("low", "high"))
    held = (low <= case.true_rates) & (case.true_rates <= high)
    known = np.array([row.stages > 0 for row in learned.rates])
    return Repeat(
        held[known],
        held,
        np.log(high / low)[known] / 2,
        len(learned.left_out),
        forecast_errors(case, learned),
    )


def forecast_errors(case, learned) -> dict[str, float]:
    """Of the stages without a record, by the four ways to forecast them."""
    truth = tuple(
        replace(row, hours_per_unit=float(rate))
        for row, rate in zip(case.branch.rates, case.true_rates, strict=True)
    )
    tables = {
        "unlearned table": case.branch.rates,
        "learned": learned_table(case.branch, learned),
        "true rates": truth,
    }
    actual = {row.stage: h for row, h in zip(case.branch.stages, case.actual_h, strict=True)}
    forecasts = {
        word: {
            name: hours.planned_h
            for name, hours in stage_hours_all(
                replace(case.branch, rates=rows), case.takeoffs, TODAY
            ).items()
        }
        for word, rows in tables.items()
    }
    forecasts["hours per kW"] = per_kw(case, actual)
    return {
        word: sum(abs(forecasts[word][name] - actual[name]) for name in case.unseen)
        / sum(actual[name] for name in case.unseen)
        for word in FORECASTS
    }


def per_kw(case, actual) -> dict[str, float]:
    """Hours of a kind of stage / kW of its jobs, over the record's stages, each as it ends."""
    kw = {row.stage: case.takeoffs[row.job].drivers["kw"] for row in case.branch.stages}
    kind = {row.stage: row.kind for row in case.branch.stages}
    seen = actual.keys() - case.unseen
    ratio = {
        one: sum(actual[name] for name in seen if kind[name] == one)
        / sum(kw[name] for name in seen if kind[name] == one)
        for one in {kind[name] for name in seen}
    }
    return {name: ratio[kind[name]] * kw[name] for name in case.unseen}


def main(repeats: int) -> None:
    """Print the table of DEVELOPERS.md."""
    words = ("residuals", "held, rates with data", "held, all rates", "half width", "left out",
             *FORECASTS)  # fmt: skip
    print("| " + " | ".join(words) + " |")
    print("|" + "---|" * len(words))
    start = time.perf_counter()
    for word, freedom in RESIDUALS.items():
        rows = [repeat(seed, freedom) for seed in range(repeats)]
        held, everyone = (np.concatenate([getattr(row, at) for row in rows])
                          for at in ("held", "all_held"))  # fmt: skip
        width = np.median(np.concatenate([row.width for row in rows]))
        cells = [
            word,
            f"{100 * held.mean():.1f} % of {len(held)}",
            f"{100 * everyone.mean():.1f} %",
            f"{100 * np.expm1(width):.0f} %",
            f"{np.mean([row.left_out for row in rows]):.2f}",
            *(f"{100 * np.mean([row.error[one] for row in rows]):.1f} %" for one in FORECASTS),
        ]
        print("| " + " | ".join(cells) + " |")
    print(f"{3 * repeats} branches in {time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
