"""Working days of an office, what comes before what, grants that lapse, refusals, and drift."""

from datetime import date, timedelta

import builders
import numpy as np
import pytest
from builders import NOW, branch, job

from crewplan.labour import stage_hours_all
from crewplan.model.asking_order import asking_order
from crewplan.model.readiness import NeedChance
from crewplan.model.settings import Holidays
from crewplan.model.waiting_rows import Authority, LeadTime, Requirement
from crewplan.readiness import needs, readiness
from crewplan.readiness.ask_by import AskBy, ask_by_in_order
from crewplan.readiness.dates import Dates, dates_if_asked
from crewplan.readiness.guesses import answers_if_asked, kinds_to_ask
from crewplan.readiness.history import History, history_of
from crewplan.takeoff import take_off_all

TODAY = date(2026, 5, 3)
US = Holidays("US", "MN")
ORDER = asking_order(builders.settings())


def may(number):
    return date(2026, 5, number)


def took(*days, kind="permit", authority="Town", first=date(2025, 3, 3)):
    """Grants after so many calendar days."""
    return tuple(LeadTime(kind, first, authority, first + timedelta(days=d)) for d in days)


def town(**changes):
    return Authority("Town", **({"counts_days": "working"} | changes))


def ready(*rows, days, kinds=("permit",), **tables):
    values = {"holidays": US, "requirements": {"roof": kinds}}
    given = builders.settings(**(values | tables.pop("settings", {})))
    tables = {"jobs": (job(authority="Town"),)} | tables
    folder = branch(requirements=rows, settings=given, **tables)
    hours = stage_hours_all(folder, take_off_all(folder), TODAY)
    return readiness(folder, hours, days, NOW)["S1"]


def asked(on, kind="permit", **more):
    return Requirement("J1", kind, "asked", on, **more)


def test_an_office_that_counts_working_days_does_not_work_on_memorial_day():
    record = tuple(
        LeadTime("permit", first, "Town", first + timedelta(days=18))
        for first in (date(2025, 3, 3), date(2025, 4, 7))
    )
    # by hand: Monday to the Friday after next but one, no holiday between: 14 working days each
    days = tuple(may(d) for d in range(4, 32))
    found = ready(asked(may(4)), days=days, lead_times=record, authorities=(town(),))
    there = [day for day, p in zip(days, found.p, strict=True) if p > 0]
    # asked on Mon 4 May: 14 working days later is Fri 22 May; no holiday lies in between
    assert there[0] == may(22)
    found = ready(asked(may(11)), days=days, lead_times=record, authorities=(town(),))
    there = [day for day, p in zip(days, found.p, strict=True) if p > 0]
    # asked on Mon 11 May: Fri 29 May would be the 14th, but the 25th is Memorial Day
    assert there == []
    days = tuple(date(2026, 5, 28) + timedelta(days=d) for d in range(8))
    found = ready(asked(may(11)), days=days, lead_times=record, authorities=(town(),))
    assert days[int(np.flatnonzero(found.p)[0])] == date(2026, 6, 1)


def test_holidays_in_the_record_do_not_make_an_office_look_slow():
    # asked on Mon 22 Dec 2025, granted on Mon 5 Jan: 25 Dec and 1 Jan are off, so 8 working days
    record = (LeadTime("permit", date(2025, 12, 22), "Town", date(2026, 1, 5)),)
    folder = branch(settings=builders.settings(holidays=US), lead_times=record,
                    authorities=(town(),))  # fmt: skip
    waits = history_of(folder, TODAY).waits("permit", "Town")
    assert waits is not None
    assert waits.days_for(0.8) == 8
    # asked on Mon 4 May, the 8th working day is Thu 14 May
    assert dates_if_asked(waits, may(4), 100) == Dates(may(14), may(14))


def test_an_office_keeps_the_holidays_of_its_own_country():
    record = (LeadTime("permit", date(2026, 3, 30), "Town", date(2026, 4, 10)),)
    own = branch(
        settings=builders.settings(holidays=US),
        lead_times=record,
        authorities=(town(holidays_country="DE", holidays_subdivision="BY"),),
    )
    # Good Friday and Easter Monday, 3 and 6 April, are off in Bavaria and not in Minnesota
    waits = history_of(own, TODAY).waits("permit", "Town")
    assert waits is not None
    assert waits.days_for(0.8) == 7
    here = branch(settings=own.settings, lead_times=record, authorities=(town(),))
    waits = history_of(here, TODAY).waits("permit", "Town")
    assert waits is not None
    assert waits.days_for(0.8) == 9


def test_other_offices_records_are_counted_in_the_days_of_who_is_asked():
    record = took(7, 7, 7, authority="Elsewhere")
    folder = branch(lead_times=record, authorities=(town(),))
    history = history_of(folder, TODAY)
    working, calendar = history.waits("permit", "Town"), history.waits("permit", "Hill")
    assert working is not None
    assert working.days_for(0.8) == 5
    assert calendar is not None
    assert calendar.days_for(0.8) == 7


def waits_of(**records):
    rows = [row for kind, days in records.items() for row in took(*days, kind=kind)]
    history = History(rows, TODAY)
    return lambda kind: history.waits(kind, "Town")


def test_the_letter_is_asked_for_early_enough_that_the_permit_can_be_asked_for_after_it():
    told = ask_by_in_order(
        ("permit", "structural_letter"), ORDER,
        waits_of(permit=[20], structural_letter=[6]), may(29), 0.8,
    )  # fmt: skip
    # by hand: the permit by 29 - 20 = 9 May, so the letter by 9 - 6 = 3 May
    assert told == {"permit": AskBy(may(9)), "structural_letter": AskBy(may(3))}


def test_a_letter_alone_has_the_stages_day_as_its_own():
    told = ask_by_in_order(
        ("structural_letter",), ORDER, waits_of(structural_letter=[6]), may(29), 0.8
    )
    assert told == {"structural_letter": AskBy(may(23))}


def test_what_the_deadline_of_the_first_leaves_out_is_said():
    told = ask_by_in_order(
        ("permit", "structural_letter"), ORDER, waits_of(structural_letter=[6]), may(29), 0.8
    )
    assert told["permit"] == AskBy(None, "no record")
    assert told["structural_letter"] == AskBy(may(23), "without the time for permit (no record)")


def test_a_branch_may_set_an_order_of_its_own():
    own = builders.settings(comes_after={"permit": ("survey", "deposit"), "survey": ("deposit",)})
    order = asking_order(own)
    assert order["permit"] == ("survey", "deposit")
    assert order["permission_to_operate"] == ("inspection_passed",)
    told = ask_by_in_order(
        ("permit", "survey", "deposit"), order,
        waits_of(permit=[10], survey=[5], deposit=[2]), may(29), 0.8,
    )  # fmt: skip
    # by hand: permit 19, survey 14, deposit 12 May
    assert told == {"permit": AskBy(may(19)), "survey": AskBy(may(14)), "deposit": AskBy(may(12))}


def test_after_a_passed_inspection_comes_the_utilitys_permission_and_then_switching_on():
    stages = (builders.stage("S1", kind="commissioning"),)
    assert needs(branch(stages=stages), "S1") == ("permission_to_operate", "inspection_passed")
    assert ORDER["permission_to_operate"] == ("inspection_passed",)


def test_consent_to_connect_is_had_before_the_electrical_work_or_where_the_branch_says():
    stages = (builders.stage("S1"), builders.stage("S2", kind="electrical"))
    folder = branch(stages=stages)
    assert "utility_approval" in needs(folder, "S2")
    own = builders.settings(requirements={"roof": ("permit", "utility_approval")})
    assert needs(branch(stages=stages, settings=own), "S1") == ("permit", "utility_approval")


def test_a_refused_permit_handed_in_again_today_names_its_days():
    record = waits_of(permit=[10, 20])
    states = (NeedChance("permit", "refused", np.zeros(3), ""),)
    told = answers_if_asked(("permit",), states, ORDER, record, (may(4), may(5), may(6)), 100)
    # by hand: half within 10 days, all within 20, from Mon 4 May on
    assert told == {"permit": Dates(may(14), may(24))}


def test_the_permit_is_asked_for_when_the_letter_is_likely_there():
    record = waits_of(permit=[10], structural_letter=[4])
    states = tuple(NeedChance(k, "open", np.zeros(1), "") for k in ("permit", "structural_letter"))
    told = answers_if_asked(("permit", "structural_letter"), states, ORDER, record, (may(4),), 100)
    assert told["structural_letter"] == Dates(may(8), may(8))
    assert told["permit"] == Dates(may(18), may(18))


def test_a_permit_that_lapses_holds_the_stage_from_the_next_day_on():
    days = tuple(may(d) for d in range(4, 9))
    row = Requirement("J1", "permit", "granted", date(2026, 3, 2), date(2026, 4, 1),
                      expires_on=may(6))  # fmt: skip
    found = ready(row, days=days)
    assert found.p.tolist() == [1, 1, 1, 0, 0]
    assert found.granted.tolist() == [True, True, True, False, False]
    assert found.holds == ("", "", "", "permit", "permit")
    assert found.states[0].note == "on 2026-04-01, good until 2026-05-06"
    assert kinds_to_ask(found, may(6)) == ()
    assert kinds_to_ask(found, may(7)) == ("permit",)


def test_a_refused_request_in_the_record_is_one_that_never_comes():
    first = date(2025, 3, 3)
    rows = [*took(5, 6, 7), LeadTime("permit", first, "Town", refused_on=first + timedelta(days=4))]
    waits = History(rows, TODAY).waits("permit", "Town")
    assert waits is not None
    # by hand: three of four were granted, whoever waits
    assert waits.chance_by(np.array([7, 500]), 0) == pytest.approx([0.75, 0.75])
    assert waits.days_for(0.8) is None
    past = waits.beyond(np.array([10_000.0]), 0)
    assert past is not None
    assert past[0] == pytest.approx(0.75)


def test_a_refusal_of_tomorrow_is_not_known_today():
    row = LeadTime("permit", TODAY - timedelta(days=3), "Town", None, TODAY + timedelta(days=1))
    waits = History((row,), TODAY).waits("permit", "Town")
    assert waits is not None
    assert waits.pool.never == 0


def test_recent_answers_weigh_more_where_a_half_life_is_set():
    old = took(*[5] * 10, first=TODAY - timedelta(days=730))
    new = took(*[20] * 10, first=TODAY - timedelta(days=40))

    def chance(half_life):
        waits = History([*old, *new], TODAY, half_life_days=half_life).waits("permit", "Town")
        assert waits is not None
        return float(waits.chance_by(np.array([5]), 0)[0])

    assert chance(None) == pytest.approx(0.5)
    # by hand: answers of 725 and 20 days ago, half-life 100: weights 0.5 ** 7.25 and 0.5 ** 0.2
    heavy, light = 0.5**0.2, 0.5**7.25
    assert chance(100.0) == pytest.approx(light / (light + heavy))


def test_past_the_record_days_are_guessed_by_its_law_and_only_there():
    rows = [*took(10, 20, 40), LeadTime("permit", TODAY - timedelta(days=60), "Town")]
    waits = History(rows, TODAY).waits("permit", "Town")
    assert waits is not None
    told = dates_if_asked(waits, TODAY, 730)
    # by hand: half within 20 days; 3 of 4 are over after 40 days and nothing more within 60
    assert told.half_on == TODAY + timedelta(days=20)
    assert told.half_past_record is None
    assert told.likely_on is None
    assert told.likely_past_record is not None
    assert told.likely_past_record > TODAY + timedelta(days=60)


def test_chances_that_go_on_past_the_record_are_the_records_own_within_it():
    rows = [*took(3, 9, 10, 30), LeadTime("permit", TODAY - timedelta(days=25), "Town")]
    waits = History(rows, TODAY).waits("permit", "Town")
    assert waits is not None
    days = np.arange(0.0, 400.0)
    for waited in (0, 5, 12):
        past = waits.beyond(days, waited)
        assert past is not None
        within = days <= waits.seen_to
        assert past[within] == pytest.approx(waits.chance_by(days, waited)[within])
        assert (np.diff(past) >= -1e-12).all()
        assert past[-1] <= 1


def test_who_waited_past_every_record_still_gets_a_marked_guess():
    waits = History(took(5, 10, 20), TODAY).waits("permit", "Town")
    assert waits is not None
    assert not waits.chance_by(np.arange(30, 300), 30).any()
    past = waits.beyond(np.arange(30.0, 300.0), 30)
    assert past is not None
    assert past[0] == 0
    assert 0.9 < past[-1] <= 1
