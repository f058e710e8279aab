"""What could break a week."""

from dataclasses import replace
from datetime import date

import pytest
from board_views import MONDAY, placement, view
from builders import job, stage

from crewplan.model.people_rows import Absence, Certificate
from crewplan.model.placement import Reason
from crewplan.model.plan import Planned, Unplaced
from crewplan.model.plan_row import PlanRow
from crewplan.model.waiting_rows import Requirement
from crewplan.publishing.week_risks import Risk, week_risks


def risks(planned: Planned | None = None, **tables) -> list[Risk]:
    changes = {key: tables.pop(key) for key in ("jobs", "stages", "unplaced") if key in tables}
    rows = () if planned is None else (planned,)
    of = view(
        changes.get("jobs", (job(contact="P. Marigold", phone="555-0101"),)),
        changes.get("stages", (stage(),)),
        rows,
        changes.get("unplaced", ()),
        tables=tables,
    )
    return list(week_risks(of.branch, of.plan))


def firm(**changes) -> Planned:
    return Planned(placement("S1", "Alder", 0, **changes), "J1", True, ())


def test_a_firm_likely_placement_in_time_breaks_nothing() -> None:
    assert risks(firm()) == []


def test_a_chance_that_is_enough_to_plan_but_not_for_the_gate_is_a_risk() -> None:
    # gate_probability is 0.9 by default
    (found,) = risks(firm(p_finish=0.74, p_go=0.95))
    assert (found.kind, found.stage, found.day, found.crew) == ("weather", "S1", MONDAY, "Alder")
    assert "a chance of 74 in 100" in found.what
    assert risks(firm(p_finish=0.9, p_go=0.9)) == []


def test_a_pencilled_placement_names_what_it_waits_for_and_whom_to_ask() -> None:
    pencilled = Planned(placement("S1", "Alder", 0, p_ready=0.84), "J1", False, ("permit",))
    (found,) = risks(
        pencilled,
        jobs=(job(authority="Invented county"),),
        requirements=(Requirement("J1", "permit", "asked", date(2026, 4, 14)),),
    )
    assert found.what == "Pencilled: permit is awaited since Tue 14 Apr."
    assert found.todo == "Ask Invented county for it."


def test_a_customer_who_has_not_confirmed_a_published_day_is_called() -> None:
    (found,) = risks(
        replace(firm(), calls=("customer_confirmed",)),
        requirements=(Requirement("J1", "customer_confirmed", "asked"),),
    )
    assert found.what == "The day is published: customer confirmed is awaited."
    assert found.todo == "Call P. Marigold (555-0101)."


def test_a_stage_that_ends_after_its_promise_is_late_by_whole_days() -> None:
    (found,) = risks(firm(), jobs=(job(due_on=date(2026, 5, 2)),))
    assert (found.kind, found.what) == ("late", "Ends 2 days after the promise of Sat 2 May.")


def test_a_published_row_that_moved_says_from_where_and_whom_to_call() -> None:
    (found,) = risks(firm(), plan=(PlanRow("S1", "Alder", date(2026, 5, 5)),))
    assert found.what == "Was published for Tue 5 May am with Alder."
    assert found.todo == "Agree the new day first: call P. Marigold (555-0101)."


def test_a_row_that_only_changed_crews_is_told_to_the_crews() -> None:
    (found,) = risks(firm(), plan=(PlanRow("S1", "Birch", MONDAY),))
    assert found.todo == "Tell both crews."


@pytest.mark.parametrize("start", [MONDAY, date(2026, 4, 30)])
def test_what_stays_where_it_was_published_did_not_move(start: date) -> None:
    assert risks(firm(), plan=(PlanRow("S1", "Alder", start),)) == []


def test_an_absence_on_the_day_and_right_after_it_binds_and_a_later_one_does_not() -> None:
    def away(first: date, last: date) -> list[Risk]:
        return risks(firm(), absences=(Absence("Alder electrician", first, last, "ill"),))

    assert [r.kind for r in away(MONDAY, MONDAY)] == ["absence"]
    assert "no slack" in away(date(2026, 5, 5), date(2026, 5, 5))[0].what
    assert away(date(2026, 5, 7), date(2026, 5, 7)) == []


def test_an_absence_that_meets_two_visits_of_a_day_is_told_once() -> None:
    of = view(
        (job(),),
        (stage(), stage("S2", kind="inspection")),
        (firm(), Planned(placement("S2", "Alder", 1, 1), "J1", True, ())),
        tables={"absences": (Absence("Alder electrician", date(2026, 5, 5)),)},
    )
    assert [risk.kind for risk in week_risks(of.branch, of.plan)] == ["absence"]


def test_a_certificate_binds_where_its_last_holder_in_the_crew_loses_it_in_the_plan() -> None:
    needs = (stage(certificates=("roof_anchor",)),)
    short = Certificate("Alder lead", "roof_anchor", date(2026, 5, 6))
    long = Certificate("Alder installer", "roof_anchor", None)
    (found,) = risks(firm(), stages=needs, certificates=(short,))
    assert found.kind == "certificate"
    assert "runs out after Wed 6 May" in found.what
    assert risks(firm(), stages=needs, certificates=(short, long)) == []


def test_a_promised_stage_that_is_not_placed_comes_first_with_its_reason() -> None:
    unplaced = Unplaced("S2", "J1", 5000, (Reason("readiness", "permit refused"),), True)
    found = risks(firm(p_go=0.5), stages=(stage(), stage("S2")), unplaced=(unplaced,))
    assert [risk.kind for risk in found] == ["not placed", "weather"]
    assert "permit refused" in found[0].what
    assert found[0].todo == "Chase what is missing, and call P. Marigold (555-0101)."
    quiet = replace(unplaced, answer_is_no=False)
    assert risks(stages=(stage(), stage("S2")), unplaced=(quiet,)) == []
