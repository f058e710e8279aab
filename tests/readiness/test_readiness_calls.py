"""Which calls are to be made today, and in which order."""

from datetime import date

import numpy as np
import pytest
from builders import settings, stage

from crewplan.model.asking_order import asking_order
from crewplan.model.readiness import NeedChance, StageReadiness
from crewplan.readiness.ask_by import AskBy
from crewplan.readiness.calls import (
    Call,
    behind,
    call_for_item,
    calls_of_stage,
    dearest_first,
    followers,
)
from crewplan.readiness.outlook import outlook
from crewplan.readiness.shortages import Missing, Shortage

MON, THU = date(2026, 5, 4), date(2026, 5, 7)
ONE = (MON,)
ORDER = asking_order(settings())


def need(kind, state, p):
    return NeedChance(kind, state, np.array([p]), "")


def waits(*needs, calls=(), name="S1"):
    p = np.prod([n.p for n in needs], axis=0) if needs else np.ones(1)
    sure = np.array([all(n.p[0] >= 1 for n in needs)])
    held = min((n for n in needs if n.p[0] < 1), key=lambda n: n.p[0], default=None)
    return StageReadiness(name, p, sure, (held.kind if held else "",), needs, calls)


def kinds(*needs, least=0.8, inspection_open=False, calls=()):
    ready = waits(*needs, calls=calls)
    found = calls_of_stage(ready, stage(), MON, 0, least, inspection_open, {}, ORDER)
    return [call.kind for call in found]


def test_what_is_likely_enough_by_its_day_needs_no_call():
    assert kinds(need("permit", "asked", 0.8), need("survey", "asked", 0.79)) == ["survey"]


def test_on_a_frozen_day_all_that_is_not_certain_is_called_about():
    assert kinds(need("permit", "asked", 0.95), least=1.0) == ["permit"]


def test_a_permit_is_not_asked_for_before_its_letter_but_the_letter_is():
    letter = need("structural_letter", "open", 0.0)
    assert kinds(need("permit", "open", 0.0), letter) == ["structural_letter"]
    assert kinds(need("permit", "asked", 0.0), letter) == ["permit", "structural_letter"]


def test_an_inspection_of_ours_that_is_not_done_is_nobody_elses_to_give():
    operate, passed = need("permission_to_operate", "open", 0), need("inspection_passed", "open", 0)
    assert kinds(operate, passed, inspection_open=True) == []
    assert kinds(operate, passed) == ["inspection_passed"]
    assert kinds(need("inspection_passed", "refused", 0), inspection_open=True) == [
        "inspection_passed"
    ]


def test_a_customer_who_has_not_confirmed_a_published_day_is_called():
    assert kinds(need("permit", "granted", 1.0), calls=("customer_confirmed",)) == [
        "customer_confirmed"
    ]


def test_all_that_comes_after_a_stage_is_behind_it():
    rows = (stage("A"), stage("B", after=("A",)), stage("C", after=("B",)), stage("D"))
    assert behind(followers(rows), ["A"]) == {"A", "B", "C"}
    assert behind(followers(rows), ["C"]) == {"C"}


def call(job, *stages, kind="permit"):
    return Call(kind, "asked", job, stages, MON, 0.2, 0.0)


def test_the_dearest_delay_is_called_about_first_counting_all_that_comes_after():
    rows = (stage("A"), stage("B", after=("A",)), stage("C", job="J2"))
    money = {"A": 40.0, "B": 50.0, "C": 60.0}
    told = dearest_first([call("J2", "C"), call("J1", "A")], rows, money)
    assert [(one.job, one.cost_a_day) for one in told] == [("J1", 90.0), ("J2", 60.0)]


def test_one_permit_that_holds_two_stages_is_one_call_and_no_stage_is_paid_twice():
    rows = (stage("A"), stage("B", after=("A",)))
    (told,) = dearest_first([call("J1", "B"), call("J1", "A")], rows, {"A": 40.0, "B": 50.0})
    assert told.stages == ("A", "B")
    assert told.cost_a_day == 90.0


def test_one_item_that_two_jobs_lack_is_one_call_for_all_of_it():
    by = AskBy(MON)
    short = [Shortage("A", "M", 18, 16, THU, THU, 0), Shortage("C", "M", 9, 9, MON, None, 9)]
    rows = (stage("A"), stage("C", job="J2"))
    (told,) = dearest_first((call_for_item(s, by) for s in short), rows, {"A": 1.0, "C": 2.0})
    assert (told.item, told.missing, told.stages) == ("M", 25, ("C", "A"))
    assert (told.wanted_on, told.to_order, told.covered_on) == (MON, 9, THU)
    assert told.cost_a_day == 3.0


def lack(by_day, in_stock):
    return Missing("S1", "M", 5, np.array(by_day, dtype=float), np.array(in_stock, dtype=float))


@pytest.mark.parametrize(
    ("needs", "missing", "frozen", "told"),
    [
        ((), (), (), (1.0, True, "", "granted")),
        ((), (lack([5], [5]),), (), (0.0, False, "kit", "short")),
        ((), (lack([0], [5]),), (), (1.0, True, "", "granted")),
        ((), (lack([0], [5]),), ONE, (1.0, False, "kit", "arriving")),
        ((need("permit", "asked", 0.6),), (lack([5], [5]),), (), (0.0, False, "kit", "short")),
        ((need("permit", "open", 0.0),), (lack([5], [5]),), (), (0.0, False, "permit", "open")),
        ((need("permit", "asked", 0.6),), (), (), (0.6, False, "permit", "asked")),
    ],
)
def test_the_one_thing_that_holds_a_stage_is_the_least_likely_of_permits_and_kit(
    needs, missing, frozen, told
):
    found = outlook(waits(*needs), missing, ONE, frozenset(frozen))
    assert (found.p[0], found.ready[0], found.holds[0], found.state[0]) == told


def test_an_inspection_is_not_ready_while_the_stage_before_it_is_not_done():
    found = outlook(waits(), (), ONE, frozenset(), ["S0"])
    assert (found.p[0], found.ready[0]) == (1.0, False)
    assert (found.holds[0], found.state[0]) == ("S0", "not done")
