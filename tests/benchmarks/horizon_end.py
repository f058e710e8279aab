"""Does the end of the days planned reach back to their start?

    python tests/benchmarks/horizon_end.py [--crews 6] [--stages 30] [--weeks 10] [--seconds 20]

Generated weeks (invented_weeks.py, thirty-four days of weather), each planned over ten working days
and over twenty, to proof where the time allows; counted are the placements that start on the first
two days (stage, crew and half-day): how many of the shorter plan's are not in the longer one.
"""

import argparse

from invented_weeks import bare_week, choose

from crewplan.scheduling import Stop, schedule

SHORT, LONG = 10, 20
WEATHER_DAYS = 34


def soon(plan):
    """Placements of the first two days."""
    return {(*p.placement.key[:2], p.placement.start) for p in plan.planned
            if p.placement.start < 4}  # fmt: skip


def changed(crews, stages, seed, stop):
    """How many of the first two days' placements a longer horizon changes, of how many; and the
    larger gap of the two plans."""
    week = bare_week(crews, stages, seed, WEATHER_DAYS)
    short, long = (schedule(choose(week, days), stop=stop) for days in (SHORT, LONG))
    return len(soon(short) - soon(long)), len(soon(short)), max(short.gap, long.gap)


def main():
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--crews", type=int, default=6)
    asked.add_argument("--stages", type=int, default=30)
    asked.add_argument("--weeks", type=int, default=10)
    asked.add_argument("--seconds", type=float, default=20.0)
    given = asked.parse_args()
    stop = Stop(seconds=given.seconds, gap=0.0)
    print("week  of first two days  changed  larger gap, %")
    all_changed = all_soon = 0
    for seed in range(given.weeks):
        other, of, gap = changed(given.crews, given.stages, seed, stop)
        all_changed, all_soon = all_changed + other, all_soon + of
        print(f"{seed:4}  {of:17}  {other:7}  {100 * gap:8.2f}", flush=True)
    print(f"in all {all_changed} of {all_soon}: {100 * all_changed / max(all_soon, 1):.1f} %")


if __name__ == "__main__":
    main()
