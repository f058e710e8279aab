"""Placements of a stage that a crew leaves open and takes up again, beside those in one go."""

import numpy as np
from numpy.typing import NDArray

from crewplan.model.placement import Placement, days_of
from crewplan.placing.crew_choices import CrewChoices
from crewplan.placing.fit_line import Fitted
from crewplan.placing.needs.people import DayFault
from crewplan.placing.price import open_cost
from crewplan.placing.two_parts import again_of, broken_visit, in_parts, not_beaten, split_of


def fill_parts(
    choices: CrewChoices, fitted: Fitted, faults: list[DayFault], good: NDArray[np.bool_]
) -> None:
    """Add what fits in two parts; where a need is broken on some day of them, it is no choice.

    Args:
        choices: of a stage and a crew, with its placements in one go.
        fitted: along the crew's time line.
        faults: the crew's, by day.
        good: starts that neither stage nor crew takes away.
    """
    facts, crew, again = choices.facts, choices.crew, again_of(choices.facts.hours)
    settings = choices.site.known.branch.settings
    placed: list[Placement] = []
    for one in fitted.broken:
        split = split_of(choices.line.cells, one)
        own = (*split.before, *split.after)
        days = days_of(own)
        if not good[own[0]] or choices.broken_by(faults, own, days):
            continue
        lost_h = round(one.lost_before_h + one.lost_after_h, 6)
        visit = choices.visit(own, days, lost_h, one.p_finish, float(facts.ready.p[days[0]]))
        away = open_cost(settings, one.back - one.leave)
        visit = broken_visit(visit, split, crew, again, away, choices.horizon)
        if choices.weight_of_worst > 0:
            visit = choices.in_worst_weathers(visit, one.lost_in, one.undone_in, fitted.weight)
        whole = choices.as_placement(own, days, visit, one.p_go, again.hours)
        lost_cost = visit.cost_per_person_h
        placed.append(in_parts(whole, split, crew, again, choices.one_way_h, lost_cost))
    told = facts.published
    back = None if told is None or told.away is None else told.away.back
    choices.placements += not_beaten(placed, back)
