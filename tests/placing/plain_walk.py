"""The walk in plain loops, one member and one duration at a time, over a placement's own cells."""

from math import exp, log, sqrt
from statistics import NormalDist

DUST = 1e-8
ORDER = {"lift": 0, "roof": 1, "ground": 2}
LEVEL = {"lift": 3, "roof": 2, "ground": 1}


def day_pieces(hours, first_hour, halves, drive_h):
    """(clock hour, length) on site on one day; halves: 'am' and 'pm' that the placement has."""
    pieces = []
    for half in ("am", "pm"):
        if half in halves:
            for i, hour in enumerate(hours):
                length = hour.am_h if half == "am" else hour.pm_h
                if length > 0:
                    pieces.append([first_hour + i, length])
    for ordered in (pieces, pieces[::-1]):
        to_drive = drive_h
        for piece in ordered:
            taken = min(piece[1], to_drive)
            piece[1] -= taken
            to_drive -= taken
        if to_drive > DUST:
            return None  # the drives do not fit
    return [(hour, length) for hour, length in pieces if length > 0]


def placement_pieces(cells, days, drive_h):
    """(day, clock hour, length) over the cells; days: list of (shift hours, first hour)."""
    pieces = []
    for day in dict.fromkeys(cell // 2 for cell in cells):
        halves = ["pm" if cell % 2 else "am" for cell in cells if cell // 2 == day]
        hours, first_hour = days[day]
        own = day_pieces(hours, first_hour, halves, drive_h)
        if own is None:
            return None
        pieces += [(day, hour, length) for hour, length in own]
    return pieces


def walk_one(steps, scale, pieces, pace, count, level):
    """Walk one member: (all done, person-hours lost)."""
    left = {step.step: step.p50_h * scale for step in steps}
    lost = 0.0

    def best(now):
        free = [
            (ORDER[step.exposure], place, step.step)
            for place, step in enumerate(steps)
            if left[step.step] > DUST
            and LEVEL[step.exposure] <= now
            and all(left.get(before, 0.0) <= DUST for before in step.after)
        ]
        return min(free)[2] if free else None

    for day, hour, length in pieces:
        rest = length
        while rest > 1e-12 and any(work > DUST for work in left.values()):
            step = best(level[hour])
            if step is None:
                lost += rest * count[day]
                break
            used = min(rest, left[step] / pace[day])
            left[step] -= used * pace[day]
            rest -= used
    return all(work <= DUST for work in left.values()), lost


def begins(steps, pieces, level):
    """Whether any step that waits for no other has an open hour in the pieces."""
    free = [LEVEL[step.exposure] for step in steps if not step.after]
    return any(level[hour] >= need for _, hour, _ in pieces for need in free)


def scales(spread):
    """The five durations by the standard library's normal distribution."""
    sigma = sqrt(log(1 + spread**2))
    return [exp(sigma * NormalDist().inv_cdf(q)) for q in (0.1, 0.3, 0.5, 0.7, 0.9)]


def least_cells(steps, spread, start, usable, days, drive_h, pace, count, members, least, most):
    """(cells, p_go, p_finish, lost, by member) of the shortest placement that is likely enough, or
    None; by member: hours lost, and the share of durations at which it is not done."""
    after = [cell for cell in usable if cell >= start]
    for k in range(1, min(most, len(after)) + 1):
        pieces = placement_pieces(after[:k], days, drive_h)
        if pieces is None:
            continue
        walked = [
            [walk_one(steps, scale, pieces, pace, count, level) for scale in scales(spread)]
            for level in members
        ]
        first_day = [piece for piece in pieces if piece[0] == pieces[0][0]] if steps else []
        begin = sum(begins(steps, first_day, level) for level in members) / len(members)
        if begin < least - 1e-9:
            continue
        p_go = sum(member[2][0] for member in walked) / len(members)
        share = sum(done for member in walked for done, _ in member) / (5 * len(members))
        p_finish = min(share, p_go)
        if p_finish >= least - 1e-9:
            lost = sum(member[2][1] for member in walked) / len(members)
            by_member = [
                (member[2][1], sum(not done for done, _ in member) / 5) for member in walked
            ]
            return tuple(after[:k]), p_go, p_finish, lost, by_member
    return None


def worst_tenth(losses):
    """Mean of the worst tenth, the last one of them in part."""
    left, total = len(losses) / 10, 0.0
    for loss in sorted(losses, reverse=True):
        taken = min(1.0, left)
        total += taken * loss
        left -= taken
    return total / (len(losses) / 10)
