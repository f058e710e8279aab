"""What took starts away from a stage, and how that reads."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.model.horizon import Horizon
from crewplan.model.placement import Reason, ReasonKind

MOST_SPELLS = 3
"""More spells than this are told as one, so that a list of reasons stays short."""


@dataclass(frozen=True, slots=True, eq=False)
class Removal:
    """Starts that one rule took away.

    `text` may hold `{crews}` (the crews concerned) and `{most}` (the best value that was reached).
    """

    kind: ReasonKind
    text: str
    starts: NDArray[np.bool_]
    """Over the half-days of the horizon."""
    crew: str = ""
    """Empty: every crew."""
    most: float = 0.0

    @property
    def subject(self) -> tuple[ReasonKind, str]:
        """What it is about: the permit, the certificate, the item; the same on frozen days."""
        return self.kind, self.text.partition(":")[0]

    def says(self) -> str:
        """The removal alone, in words."""
        return _filled(self.text, self.crew, self.most)


def _filled(text: str, crews: str, most: float) -> str:
    # not str.format: names in the tables may hold braces
    return text.replace("{crews}", crews).replace("{most}", f"{most:.2f}")


def words(crews: Sequence[str]) -> str:
    """'A', 'A and B', 'A, B and C'."""
    if len(crews) < 2:
        return "".join(crews)
    return f"{', '.join(crews[:-1])} and {crews[-1]}"


def days(count: int) -> str:
    """'1 day', '3 days'."""
    return f"{count} day{'' if count == 1 else 's'}"


def _spells(kind: ReasonKind, taken: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last day (indices) of the spells told apart: weather has several, if few."""
    by_day = np.flatnonzero(taken.reshape(-1, 2).any(axis=1))
    breaks = np.flatnonzero(np.diff(by_day) > 1) + 1
    runs = [(int(run[0]), int(run[-1])) for run in np.split(by_day, breaks)]
    if kind == "weather" and len(runs) <= MOST_SPELLS:
        return runs
    return [(int(by_day[0]), int(by_day[-1]))]


def decisive(removals: Sequence[Removal], crews: Sequence[str]) -> list[Removal]:
    """Those of rules that each leave no start to anybody; all of them where there is no such rule.

    Where a permit is refused, that one crew has no lead on Tuesday is of no interest.
    """
    taken: dict[tuple[ReasonKind, str], dict[str, NDArray[np.bool_]]] = {}
    for removal in removals:
        by_crew = taken.setdefault(removal.subject, {})
        for crew in (removal.crew,) if removal.crew else crews:
            held = by_crew.get(crew)
            by_crew[crew] = removal.starts if held is None else held | removal.starts
    whole = {
        rule
        for rule, by_crew in taken.items()
        if len(by_crew) == len(crews) and all(starts.all() for starts in by_crew.values())
    }
    told = [removal for removal in removals if removal.subject in whole]
    return told or list(removals)


def reasons(removals: Iterable[Removal], horizon: Horizon) -> tuple[Reason, ...]:
    """A reason for each rule and text, with the first and last day on which it took a start.

    Spells of weather stand apart, since the days between them are fine.
    """
    groups: dict[tuple[ReasonKind, str], list[Removal]] = {}
    for removal in removals:
        if removal.starts.any():
            groups.setdefault((removal.kind, removal.text), []).append(removal)
    found: list[Reason] = []
    for (kind, text), group in groups.items():
        taken = np.logical_or.reduce([removal.starts for removal in group])
        for first, last in _spells(kind, taken):
            own = [r for r in group if r.starts[2 * first : 2 * last + 2].any()]
            crews = list(dict.fromkeys(removal.crew for removal in own if removal.crew))
            detail = _filled(text, words(crews), max(removal.most for removal in own))
            found.append(Reason(kind, detail, horizon.days[first], horizon.days[last]))
    return tuple(found)


def breakers(removals: Iterable[Removal], crew: str, start: int) -> str:
    """All that took one start of one crew away; '; ' between."""
    return "; ".join(
        dict.fromkeys(
            removal.says()
            for removal in removals
            if removal.starts[start] and removal.crew in ("", crew)
        )
    )
