"""All checks of a plan, one after another."""

from datetime import datetime

from crewplan.model.branch import Branch
from crewplan.model.placement import Choices
from crewplan.model.plan import Plan
from crewplan.scheduling.checker.drives import (
    drives_are_priced,
    drives_shared_by_two,
    short_visits_take_their_time,
)
from crewplan.scheduling.checker.facts import Facts
from crewplan.scheduling.checker.inspections import failing_is_priced
from crewplan.scheduling.checker.instead import standby_holds
from crewplan.scheduling.checker.lent import lent_as_allowed
from crewplan.scheduling.checker.overtime import overtime_within_its_limit
from crewplan.scheduling.checker.parts import few_left_open, parts_are_priced, parts_are_whole
from crewplan.scheduling.checker.published import stays
from crewplan.scheduling.checker.ready import likely_enough, nothing_lapsed, nothing_refused
from crewplan.scheduling.checker.scarce import (
    equipment_lasts,
    inspectors_last,
    own_equipment_serviced,
    stock_lasts,
)
from crewplan.scheduling.checker.starter import another_crew_is_priced
from crewplan.scheduling.checker.weather import no_lift_in_no_go
from crewplan.scheduling.checker.when import (
    in_order,
    not_begun,
    notice_given,
    on_working_days,
    one_place_at_a_time,
)
from crewplan.scheduling.checker.who import certified, enough_people, led
from crewplan.scheduling.checker.whole_plan import every_stage_once, price_adds_up
from crewplan.scheduling.checker.worst import worst_weathers_within_reason


class PlanRejected(Exception):
    """The checker found a plan of ours at fault: a fault of the program, never of the tables."""


CHECKS = (
    every_stage_once,
    price_adds_up,
    failing_is_priced,
    parts_are_whole,
    parts_are_priced,
    few_left_open,
    on_working_days,
    not_begun,
    one_place_at_a_time,
    drives_shared_by_two,
    short_visits_take_their_time,
    drives_are_priced,
    worst_weathers_within_reason,
    overtime_within_its_limit,
    another_crew_is_priced,
    in_order,
    notice_given,
    lent_as_allowed,
    led,
    enough_people,
    certified,
    nothing_refused,
    nothing_lapsed,
    likely_enough,
    equipment_lasts,
    own_equipment_serviced,
    inspectors_last,
    stock_lasts,
    stays,
    no_lift_in_no_go,
    standby_holds,
)


def check_plan(branch: Branch, choices: Choices, plan: Plan, now: datetime) -> tuple[str, ...]:
    """What is wrong with a plan, one sentence each; empty: it may be shown.

    Args:
        branch: the tables, which all but prices are checked against.
        choices: what was offered, at which price.
        plan: what came of it.
        now: the clock, timezone-aware, that the plan was made with.
    """
    facts = Facts(branch, choices, plan, now)
    return tuple(sentence for check in CHECKS for sentence in check(facts))


def refuse_broken(branch: Branch, choices: Choices, plan: Plan, now: datetime) -> None:
    """Let nobody have a plan that breaks a rule; arguments as for `check_plan`.

    Raises:
        PlanRejected: where something is wrong with it.
    """
    faults = check_plan(branch, choices, plan, now)
    if faults:
        raise PlanRejected("the plan failed its own check: " + "; ".join(faults))
