"""Who gets what from the store, and what is then missing: all numbers by hand."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewplan.model.material_rows import Arrival
from crewplan.model.readiness import Supply
from crewplan.model.waiting_rows import LeadTime
from crewplan.readiness.ask_by import AskBy
from crewplan.readiness.history import History
from crewplan.readiness.orders import Order, order_by, orders, suppliers
from crewplan.readiness.shortages import Claim, Shortage, missing_items, shortages

DAYS = tuple(date(2026, 5, day) for day in range(4, 16))
MON, THU, NEXT_TUE = DAYS[0], DAYS[3], DAYS[8]


def store(on_hand, *arrivals, item="M"):
    return Supply({item: float(on_hand)}, {item: tuple(arrivals)}, True)


def lacks(line, supply):
    found = missing_items(line, supply, DAYS)
    return {name: [item.by_day.tolist() for item in items] for name, items in found.items()}


def test_what_is_on_hand_is_missing_on_no_day():
    assert lacks([Claim("A", {"M": 10}, MON)], store(10)) == {"A": [[0] * 12]}


def test_a_kit_that_arrives_on_thursday_is_missing_until_then():
    found = lacks([Claim("A", {"M": 18}, None)], store(2, (THU, 18)))
    assert found == {"A": [[16] * 3 + [0] * 9]}


def test_of_two_that_want_one_kit_the_second_in_the_line_waits_for_the_next_arrival():
    line = [Claim("A", {"M": 16}, None), Claim("B", {"M": 18}, None)]
    found = lacks(line, store(0, (THU, 18), (NEXT_TUE, 18)))
    # A: 16 until Thursday. B: 18, then 18 - (18 - 16) = 16, then 0
    assert found == {"A": [[16] * 3 + [0] * 9], "B": [[18] * 3 + [16] * 5 + [0] * 4]}


def test_an_arrival_before_the_first_starts_helps_the_second_at_once():
    # A takes its 10 on Tuesday week only, when 10 more are there: B may have the 10 on hand
    line = [Claim("A", {"M": 10}, NEXT_TUE), Claim("B", {"M": 10}, None)]
    assert lacks(line, store(10, (THU, 10)))["B"] == [[0] * 12]


def test_what_a_published_stage_will_need_is_not_given_away_before():
    line = [Claim("A", {"M": 10}, NEXT_TUE), Claim("B", {"M": 10}, None)]
    assert lacks(line, store(12))["B"] == [[8] * 12]


def test_what_those_ahead_lack_is_not_counted_twice():
    line = [Claim("A", {"M": 18}, None), Claim("B", {"M": 18}, None)]
    # 36 wanted, 10 there: 8 + 18
    assert lacks(line, store(10)) == {"A": [[8] * 12], "B": [[18] * 12]}


def test_on_a_frozen_day_only_what_is_in_stock_counts():
    (item,) = missing_items([Claim("A", {"M": 18}, None)], store(2, (THU, 18)), DAYS)["A"]
    assert item.in_stock.tolist() == [16] * 12


def test_where_material_is_not_judged_nothing_is_missing():
    assert lacks([Claim("A", {"M": 18}, None)], Supply({}, {}, False)) == {}


def test_where_no_stage_draws_anything_from_the_store_nothing_is_missing():
    line = [Claim("R1", {}, None), Claim("R2", {}, None)]
    empty = Supply({}, {}, True)
    assert missing_items(line, empty, DAYS) == {"R1": (), "R2": ()}
    assert missing_items([], empty, DAYS) == {}


def test_a_shortage_names_item_amount_and_the_day_on_which_it_is_covered():
    found = missing_items(
        [Claim("A", {"M": 18, "clamp": 3}, None)],
        Supply({"clamp": 1.0}, {"M": ((THU, 18.0),)}, True),
        DAYS,
    )
    assert shortages(found["A"], DAYS, MON) == (
        Shortage("A", "M", 18, 18, MON, THU, 0),
        Shortage("A", "clamp", 3, 2, MON, None, 2),
    )
    assert shortages(found["A"], DAYS, THU) == (Shortage("A", "clamp", 3, 2, THU, None, 2),)


def sold(waits, kind, seller):
    rows = []
    for number, days in enumerate(waits):
        asked_on = date(2025, 3, number + 1)
        rows.append(LeadTime(kind, asked_on, seller, date.fromordinal(asked_on.toordinal() + days)))
    return rows


def test_what_nothing_on_order_covers_is_ordered_once_for_all_stages_by_the_suppliers_record():
    rows = [Shortage("A", "M", 18, 8, THU, None, 8), Shortage("B", "M", 18, 18, NEXT_TUE, None, 18)]
    rows.append(Shortage("C", "clamp", 2, 2, MON, THU, 0))
    history = History(sold((2, 3, 4, 5, 9), "M", "Yard"), MON)
    # by hand: 4 of 5 within 5 days; Thursday 7 May less 5
    assert orders(rows, {"M": ("Yard",)}, history, 0.8) == (
        Order("M", 26, ("A", "B"), THU, "Yard", AskBy(date(2026, 5, 2))),
    )


def test_the_record_of_kits_stands_in_for_that_of_the_item():
    history = History(sold((6,), "kit", "Yard"), MON)
    assert order_by("M", ("Yard",), history, NEXT_TUE, 0.8) == ("Yard", AskBy(date(2026, 5, 6)))


def test_of_two_suppliers_the_one_that_may_be_asked_later_is_named():
    rows = sold((20,) * 30, "M", "Slow") + sold((2,) * 30, "M", "Swift")
    found, _ = order_by("M", ("Slow", "Swift"), History(rows, MON), NEXT_TUE, 0.8)
    assert found == "Swift"


def test_a_supplier_without_any_record_has_an_unknown_lead_time():
    found = order_by("M", (), History((), MON), NEXT_TUE, 0.8)
    assert found == ("", AskBy(None, "no record"))


def test_suppliers_are_those_that_have_something_on_order():
    rows = (Arrival("M", 1, MON, "Yard"), Arrival("M", 1, THU, "Dock"), Arrival("M", 1, THU))
    assert suppliers(rows) == {"M": ("Yard", "Dock")}


amounts = st.integers(0, 12)
arriving = st.lists(st.tuples(st.sampled_from(DAYS), amounts), max_size=3)
claims = st.lists(st.tuples(amounts, st.none() | st.sampled_from(DAYS)), max_size=4)


@given(amounts, arriving, claims, amounts)
def test_what_is_missing_never_rises_with_the_day_nor_with_one_more_arrival(
    on_hand, coming, ahead, needed
):
    line = [Claim(str(n), {"M": units}, day) for n, (units, day) in enumerate(ahead)]
    line.append(Claim("last", {"M": needed}, None))
    (found,) = missing_items(line, store(on_hand, *sorted(coming)), DAYS)["last"]
    assert (np.diff(found.by_day) <= 0).all()
    assert ((found.by_day >= 0) & (found.by_day <= needed)).all()
    assert (found.in_stock >= found.by_day).all()
    more = sorted([*coming, (THU, 5)])
    (richer,) = missing_items(line, store(on_hand, *more), DAYS)["last"]
    assert (richer.by_day <= found.by_day).all()


@given(amounts, arriving, claims, amounts, st.integers(0, 11))
def test_a_start_that_lacks_nothing_leaves_those_ahead_what_they_had(
    on_hand, coming, ahead, needed, start
):
    # the slow twin: walk the days, take every kit on its day, see whether the store goes below
    line = [Claim(str(n), {"M": units}, day) for n, (units, day) in enumerate(ahead)]
    line.append(Claim("last", {"M": needed}, None))
    (found,) = missing_items(line, store(on_hand, *sorted(coming)), DAYS)["last"]
    left, least = float(on_hand), np.inf
    for at, day in enumerate(DAYS):
        left += sum(units for arrives, units in coming if arrives == day)
        left -= sum(units for units, on in ahead if on == day or (on is None and at == 0))
        if at >= start:
            least = min(least, left)
    assert found.by_day[start] == pytest.approx(max(needed - max(least, 0.0), 0.0))
