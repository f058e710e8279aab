"""The whole answer of a branch: its day, its shortages, its calls and what they cost."""

from datetime import date, timedelta

import builders
import numpy as np
import pytest
from builders import NOW, branch, job, plane, stage
from hypothesis import given, settings
from hypothesis import strategies as st

from crewplan.model.material_rows import Arrival, Equipment, Item, Stock
from crewplan.model.people_rows import Certificate, Crew, Person
from crewplan.model.plan_row import PlanRow
from crewplan.model.waiting_rows import Inspection, LeadTime, Requirement
from crewplan.publishing.call_words import gist, say, whom
from crewplan.publishing.day_words import day_words
from crewplan.publishing.ready_json import READY_COLUMNS, calls_json, ready_cells, ready_json
from crewplan.publishing.ready_text import calls_text, ready_text
from crewplan.running.clock import Clock
from crewplan.running.readying import UnknownStage, ask_ready

TODAY, WED, THU, FRI = (date(2026, 5, day) for day in (3, 6, 7, 8))
CLOCK = Clock(NOW, "now")
PERMIT = {"roof": ("permit",)}
GRANTED = Requirement("J1", "permit", "granted", granted_on=date(2026, 4, 1))


def ask(stage_name=None, needs=PERMIT, days=10, first=None, **tables):
    folder = branch(settings=builders.settings(requirements=needs), **tables)
    return ask_ready(folder, CLOCK, first, days, stage=stage_name)


def two_jobs(**tables):
    """19 modules each; J1 is promised a day before J2."""
    return ask(
        needs={"roof": ()},
        jobs=(job("J2", due_on=FRI), job("J1", due_on=THU, contact="Ann Example")),
        planes=(plane(job="J1"), plane(job="J2")),
        stages=(stage("S2", job="J2"), stage("S1")),
        **tables,
    )


def row_of(view, name, day):
    (row,) = [r for r in ready_json(view) if (r["stage"], r["day"]) == (name, day.isoformat())]
    return row


def test_a_row_for_each_stage_and_working_day_from_the_next_one_on():
    rows = ready_json(ask(requirements=(GRANTED,), days=6))
    assert [row["day"] for row in rows] == [
        "2026-05-04", "2026-05-05", "2026-05-06", "2026-05-07", "2026-05-08", "2026-05-11",
    ]  # fmt: skip
    assert {row["stage"] for row in rows} == {"S1"}
    assert [(r["p_ready"], r["ready"], r["holds"], r["state"]) for r in rows] == [
        (1.0, True, "", "granted")
    ] * 6


def test_an_open_permit_holds_its_stage_on_every_day():
    rows = ready_json(ask(requirements=(Requirement("J1", "permit", "open"),)))
    assert {(r["p_ready"], r["ready"], r["holds"], r["state"]) for r in rows} == {
        (0.0, False, "permit", "open")
    }


def test_likely_enough_to_plan_by_is_not_ready():
    asked = Requirement("J1", "permit", "asked", TODAY)
    past = tuple(
        LeadTime("permit", date(2025, 1, 1), "", date(2025, 1, 1) + timedelta(days=d))
        for d in (1, 1, 1, 1, 1, 1, 1, 1, 1, 40)
    )
    row = row_of(ask(requirements=(asked,), lead_times=past), "S1", WED)
    assert row["p_ready"] == pytest.approx(0.9)  # by hand: 9 of 10 within 3 days
    assert (row["ready"], row["holds"], row["state"]) == (False, "permit", "asked")


ON_ORDER = [
    {"quantity": 18, "supplier": "Yard", "expected_on": "2026-05-07", "half_on": "2026-05-07",
     "likely_on": "2026-05-07"}
]  # fmt: skip
"""Without a record of deliveries: as expected."""


def test_a_kit_that_arrives_on_thursday_goes_to_the_job_promised_first():
    view = two_jobs(stock=(Stock("module", 2),), arrivals=(Arrival("module", 18, THU, "Yard"),))
    assert row_of(view, "S1", WED)["missing"] == [
        {"item": "module", "needed": 19.0, "missing": 17.0, "covered_on": "2026-05-07",
         "substitutes": [], "on_order": ON_ORDER}
    ]  # fmt: skip
    assert row_of(view, "S1", THU)["ready"] is True
    later = row_of(view, "S2", THU)
    # by hand: 2 + 18 - 19 = 1 of 19 is left
    assert (later["holds"], later["state"], later["p_ready"]) == ("kit", "short", 0.0)
    assert later["missing"] == [
        {"item": "module", "needed": 19.0, "missing": 18.0, "covered_on": None,
         "substitutes": [], "on_order": ON_ORDER, "supplier": "Yard",
         "order_by": {"by": None, "note": "no record"}}
    ]  # fmt: skip
    (order,) = view.orders
    assert (order.item, order.quantity, order.stages) == ("module", 18, ("S2",))


def test_a_published_start_goes_before_an_earlier_promise():
    view = two_jobs(stock=(Stock("module", 19),), plan=(PlanRow("S2", "Alder", FRI),))
    assert row_of(view, "S2", FRI)["ready"] is True
    assert row_of(view, "S1", FRI)["missing"][0]["missing"] == 19


def test_on_a_frozen_day_an_arrival_is_not_in_hand():
    kit = {"stock": (Stock("module", 0),), "arrivals": (Arrival("module", 50, date(2026, 5, 5)),)}
    tuesday = date(2026, 5, 5)
    assert row_of(two_jobs(**kit), "S1", tuesday)["ready"] is True
    frozen = two_jobs(plan=(PlanRow("S1", "Alder", tuesday),), **kit)  # today and two days frozen
    row = row_of(frozen, "S1", tuesday)
    assert (row["ready"], row["holds"], row["state"]) == (False, "kit", "arriving")
    assert row_of(frozen, "S1", WED)["ready"] is True


def test_a_stage_is_judged_on_its_published_day_else_on_its_promise():
    later = Requirement("J1", "permit", "granted", granted_on=THU)
    for plan, on_its_day in (((), True), ((PlanRow("S1", "Alder", WED),), False)):
        view = ask("S1", requirements=(later,), plan=plan)
        assert view.ready_on_its_day(view.stages[0]) is on_its_day


def test_a_published_day_that_has_passed_counts_as_today():
    view = ask("S1", requirements=(GRANTED,), plan=(PlanRow("S1", "Alder", date(2026, 4, 20)),))
    assert view.stages[0].wanted_on == TODAY


def test_a_stage_that_the_folder_does_not_have_is_named():
    with pytest.raises(UnknownStage, match="'S9' is no stage"):
        ask("S9")


def test_a_far_promise_and_a_far_first_day_are_answered():
    view = ask(jobs=(job(due_on=date(2190, 1, 1)),), first=date(2040, 1, 2), days=2)
    assert len(view.days) < 800
    assert [row["day"] for row in ready_json(view)] == ["2040-01-02", "2040-01-03"]


def test_a_day_of_delay_costs_waiting_and_the_next_day_of_lateness():
    # by hand: asked without record, promise 6 May, judged on it: a day late is 120 + 12, and 30
    asked = Requirement("J1", "permit", "asked", date(2026, 4, 14))
    view = ask(requirements=(asked,), jobs=(job(due_on=WED, authority="Town Desk"),))
    (call,) = view.calls
    assert call.cost_a_day == pytest.approx(162.0)
    assert whom(view, call) == "Town Desk"
    assert gist(view, call) == (
        "permit is awaited since Tue 14 Apr; holds S1 from Wed 6 May, there by then with 0 %"
    )
    assert "How far is the permit of J1" in say(view, call)


def test_the_job_that_is_already_late_is_called_about_first():
    view = ask(
        jobs=(job("J1", due_on=date(2026, 5, 20)), job("J2", due_on=date(2026, 4, 23))),
        planes=(plane(job="J1"), plane(job="J2")),
        stages=(stage("S1"), stage("S2", job="J2")),
    )
    # by hand: J2 may start on 4 May, 11 days late: 30 + 120 + 12 x (144 - 121) = 426
    assert [(call.job, call.cost_a_day) for call in view.calls] == [("J2", 426.0), ("J1", 162.0)]


def test_a_published_customer_who_has_not_confirmed_is_called_by_name():
    view = ask(
        requirements=(GRANTED,),
        jobs=(job(contact="Ann Example", phone="555-0100"),),
        plan=(PlanRow("S1", "Alder", date(2026, 5, 5)),),
    )
    (call,) = view.calls
    assert call.kind == "customer_confirmed"
    assert whom(view, call) == "Ann Example (555-0100)"
    assert say(view, call).startswith("We come on Tue 5 May with Alder.")
    assert view.ready_on_its_day(view.stages[0])


def test_the_supplier_is_asked_to_come_earlier_or_for_more():
    view = two_jobs(stock=(Stock("module", 2),), arrivals=(Arrival("module", 18, FRI, "Yard"),))
    (call,) = view.calls
    assert whom(view, call) == "Yard"
    # by hand: 38 wanted, 2 there, 18 coming on Friday: S1 lacks 17 on Thursday, S2 18 on Friday
    assert gist(view, call) == (
        "35 of module missing for S1, S2 from Thu 7 May; 17 on order, here by Fri 8 May; "
        "no deadline: no record"
    )
    assert say(view, call) == (
        "Order 18 of module, to be here by Thu 7 May. "
        "Can 17 of module come by Thu 7 May in place of Fri 8 May?"
    )
    view = two_jobs(stock=(Stock("module", 2),), arrivals=(Arrival("module", 40, FRI, "Yard"),))
    (call,) = view.calls
    assert say(view, call) == "Can 17 of module come by Thu 7 May in place of Fri 8 May?"


def test_a_deadline_that_has_passed_is_told_as_such():
    past = (LeadTime("permit", date(2025, 1, 1), "", date(2025, 1, 21)),)
    view = ask(lead_times=past, jobs=(job(due_on=FRI),))
    # by hand: 20 days before 8 May
    assert "should have been asked for by Sat 18 Apr" in gist(view, view.calls[0])
    assert ready_json(view)[0]["ask_by"] == {"permit": {"by": "2026-04-18", "note": ""}}
    told = ready_text(view, "", one=True)
    assert (
        "should have been asked for by Sat 18 Apr; if asked for today, 50 % by Sat 23 May" in told
    )


def test_every_shape_of_the_answer_tells_the_same_stages_and_the_clock():
    view = two_jobs(stock=(Stock("module", 2),))
    assert len(ready_cells(view)) == len(ready_json(view)) == 20
    assert all(len(cells) == len(READY_COLUMNS) for cells in ready_cells(view))
    text = ready_text(view, "clock set by hand: not for work", one=False)
    assert text.startswith("clock set by hand: not for work\n")
    assert "S1: 17 of the 19 module missing on Thu 7 May; nothing on order covers it" in text
    assert "Order 36 of module: lead time unknown (no record); wanted on Thu 7 May" in text
    assert "A day of delay costs 324.00 USD." in calls_text(view, "")
    assert {row["clock"] for row in (*ready_json(view), *calls_json(view))} == {"now"}


def test_with_nothing_to_chase_it_says_so():
    assert "Nothing to chase today." in calls_text(ask(requirements=(GRANTED,)), "")


waits = st.lists(st.integers(0, 40), max_size=6)
supply = st.lists(st.tuples(st.integers(1, 12), st.integers(1, 30)), max_size=3)


@settings(deadline=None, max_examples=40)
@given(waits, waits, st.integers(0, 30), st.integers(0, 20), supply)
def test_the_chance_that_all_is_in_hand_never_falls_with_the_day(
    over, still, waited, on_hand, coming
):
    past = [
        LeadTime("permit", date(2025, 1, 1), "T", date(2025, 1, 1) + timedelta(d)) for d in over
    ]
    past += [LeadTime("permit", TODAY - timedelta(d), "T") for d in still]
    view = ask(
        requirements=(Requirement("J1", "permit", "asked", TODAY - timedelta(waited)),),
        lead_times=tuple(past),
        stock=(Stock("module", on_hand),),
        arrivals=tuple(Arrival("module", n, TODAY + timedelta(day)) for day, n in coming),
        plan=(PlanRow("S1", "Alder", WED),),
        days=20,
    )
    (told,) = view.stages
    assert (np.diff(told.outlook.p) >= 0).all()
    assert (np.diff(told.outlook.ready.astype(int)) >= 0).all()
    assert all(told.outlook.p[told.outlook.ready] == 1)


def took(*days, kind="permit", authority=""):
    first = date(2025, 3, 3)
    return tuple(LeadTime(kind, first, authority, first + timedelta(days=d)) for d in days)


def test_a_permit_that_lapses_before_the_stages_day_is_a_call_to_renew_it():
    row = Requirement("J1", "permit", "granted", date(2026, 3, 2), date(2026, 4, 1), expires_on=THU)
    view = ask("S1", requirements=(row,), jobs=(job(due_on=FRI),), lead_times=took(9, 10))
    told = row_of(view, "S1", FRI)
    assert (told["p_ready"], told["holds"], told["state"]) == (0.0, "permit", "granted")
    assert row_of(view, "S1", THU)["ready"] is True
    # by hand: both took 10 days or less
    assert told["ask_by"] == {"permit": {"by": "2026-04-28", "note": ""}}
    assert told["if_asked_today"]["permit"]["likely_on"] == "2026-05-13"
    (call,) = view.calls
    assert say(view, call) == (
        "The permit of J1 lapses before Fri 8 May. What does it take to renew it in time?"
    )
    assert "permit is in hand until Thu 7 May" in gist(view, call)


def test_days_past_the_record_are_marked_in_every_format_and_move_no_chance():
    """Of four permits one was granted after 10 and one after 20 days; two wait for 40 already."""
    waiting = tuple(LeadTime("permit", TODAY - timedelta(days=40)) for _ in range(2))
    asked = Requirement("J1", "permit", "asked", TODAY)
    view = ask("S1", requirements=(asked,), lead_times=took(10, 20) + waiting)
    told = row_of(view, "S1", WED)
    # by hand: 2 of 4 within 20 days, which is 23 May; more than that the record does not say
    assert (told["half_on"], told["half_past_record"]) == ("2026-05-23", None)
    assert told["likely_on"] is None
    past = date.fromisoformat(told["likely_past_record"])
    assert past > TODAY + timedelta(days=40)
    assert max(row["p_ready"] for row in ready_json(view)) <= 0.5
    text = ready_text(view, "", one=True)
    assert f"80 % likely: {day_words(past)}*." in text
    assert "* past the record: extrapolated by a log-normal law" in text


def test_within_the_record_nothing_is_marked():
    asked = Requirement("J1", "permit", "asked", TODAY)
    view = ask("S1", requirements=(asked,), lead_times=took(3, 4, 5))
    assert "*" not in ready_text(view, "", one=True)
    assert row_of(view, "S1", WED)["likely_past_record"] is None


def test_what_may_stand_in_for_a_short_item_is_told():
    items = (Item("rail", "module", substitutes=("long rail",)), Item("long rail", "long rail"))
    view = two_jobs(items=items, stock=(Stock("rail", 2),))
    assert row_of(view, "S1", WED)["missing"][0]["substitutes"] == ["long rail"]
    assert "long rail may stand in." in ready_text(view, "", one=False)


def test_a_suppliers_record_moves_the_day_of_what_is_on_order():
    came = tuple(
        Arrival("module", 1, date(2026, 4, 1), "Yard", date(2026, 4, 1), date(2026, 4, 1 + late))
        for late in (0, 1, 1, 1, 4)
    )
    due = Arrival("module", 19, WED, "Yard")
    view = ask("S1", needs={"roof": ()}, stock=(), arrivals=(*came, due))
    # by hand: half within 1 day of the promise, 4 of 5 too
    (on_order,) = row_of(view, "S1", WED)["missing"][0]["on_order"]
    assert on_order == {"quantity": 19, "supplier": "Yard", "expected_on": "2026-05-06",
                        "half_on": "2026-05-07", "likely_on": "2026-05-07"}  # fmt: skip
    assert row_of(view, "S1", WED)["ready"] is False
    assert row_of(view, "S1", THU)["ready"] is True


def test_an_inspection_says_how_often_the_first_one_fails():
    tables = {"stages": (stage("S1", kind="inspection"),), "jobs": (job(authority="Hill"),)}
    view = ask("S1", needs={}, **tables)
    assert row_of(view, "S1", WED)["first_inspection"] == {
        "p_fail": 0.0, "return_h": 4.0, "note": "no record"
    }  # fmt: skip
    assert "fails the first time with 0 % (no record)." in ready_text(view, "", one=True)
    record = tuple(Inspection("Hill", date(2026, 1, 5), ok) for ok in (True, True, True, False))
    told = ready_text(ask("S1", needs={}, inspections=record, **tables), "", one=True)
    assert "fails the first time with 25 % (1 of its 4 first inspections failed)" in told
    assert row_of(ask("S1", requirements=(GRANTED,)), "S1", WED)["first_inspection"] is None


def test_what_runs_out_while_a_stage_needs_it_is_said_before():
    view = ask(
        stages=(stage(certificates=("roof_anchor",), equipment=("boom", "hoist")),),
        people=(Person("Bo", "North", "lead", 50.0),),
        crews=(Crew("North", 46.8, -92.1, ("hoist",), FRI),),
        certificates=(
            Certificate("Bo", "roof_anchor", WED),
            Certificate("Bo", "electrician", WED),
            Certificate("Al", "roof_anchor", date(2027, 1, 1)),
        ),
        equipment=(Equipment("boom", service_due_on=date(2026, 5, 1)), Equipment("mast")),
    )
    assert view.notes[1:] == (
        "roof_anchor of Bo runs out on 2026-05-06; asked for by S1",
        "boom: service was due on 2026-05-01, not used after it; asked for by S1",
        "hoist of crew North: service is due on 2026-05-08, not used after it",
    )


def test_a_delivery_that_is_overdue_and_counted_on_is_a_call():
    late = Arrival("module", 19, date(2026, 5, 1), "Yard")
    view = two_jobs(stock=(Stock("module", 19),), arrivals=(late,))
    (call,) = view.calls
    # J1 is promised first and has its 19 from stock; J2 counts on what was due
    assert (call.state, call.stages, call.missing, whom(view, call)) == (
        "overdue", ("S2",), 19, "Yard"
    )  # fmt: skip
    assert gist(view, call) == (
        "19 of module due on Fri 1 May and not booked in; counted on by S2 from Fri 8 May"
    )
    assert say(view, call) == (
        "The module was due on Fri 1 May. Has it come? If not, when does it; 19 wanted by "
        "Fri 8 May."
    )
    assert two_jobs(stock=(Stock("module", 38),), arrivals=(late,)).calls == ()
