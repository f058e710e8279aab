from builders import branch, job, module, plane, racking

from crewplan.takeoff import DRIVERS, TAKEOFF_ITEMS, take_off, take_off_all


def test_a_house_of_three_rows_takes_these_pieces():
    counted = take_off(job(), [(plane(), module(), racking())])
    # by hand from rows of 7, 7 and 5: rails of 8052.3 mm (7 attachments) and 5771.6 mm (6), each of
    # two pieces; six whole stock lengths of 4267, four rests of 3785.3 that leave room for nothing,
    # and two of 1504.6 from one more: 11
    assert {word: count for word, count in counted.items.items() if count} == {
        "module": 19,
        "attachment": 40,
        "flashing": 40,
        "lag": 40,
        "rail": 11,
        "splice": 6,
        "mid clamp": 2 * (6 + 6 + 4),
        "end clamp": 12,
        "microinverter": 19,
        "lead": 19,
        "wire clip": 38,
        "bonding lug": 3,
    }
    assert counted.power_w == 7600


def test_items_have_the_take_offs_own_words_in_the_order_of_work():
    assert tuple(take_off(job(), [(plane(), module(), racking())]).items) == TAKEOFF_ITEMS


def test_every_driver_but_days_is_counted_for_each_job():
    counted = take_off(job(), [(plane(), module(), racking())])
    assert {*counted.drivers} == {*DRIVERS} - {"days"}


def test_a_rail_of_just_one_stock_length_has_no_splice():
    stock = 8052.3
    counted = take_off(job(), [(plane(rows=(7,)), module(), racking(rail_mm=stock))])
    assert (counted.items["rail"], counted.items["splice"]) == (2, 0)


def test_planes_of_one_job_add_up():
    one = take_off(job(), [(plane("a"), module(), racking())])
    two = take_off(job(), [(plane(p), module(), racking()) for p in "ab"])
    assert all(two.items[word] == 2 * one.items[word] for word in TAKEOFF_ITEMS if word != "rail")
    # by hand: 12 whole, 8 rests of 3785.3, and now one stock length holds two of 1504.6: 12 + 8 + 2
    assert two.items["rail"] == 22
    assert (two.drivers["planes"], two.drivers["storeys"]) == (2, 1)


def test_electrical_work_drives_hours_only_where_the_job_has_it():
    def drivers(electrical):
        counted = take_off(job(electrical=electrical), []).drivers
        return counted["system"], counted["panel_upgrade"], counted["battery"]

    assert drivers("none") == (0, 0, 0)
    assert drivers("standard") == (1, 0, 0)
    assert drivers("panel_upgrade") == (1, 1, 0)
    assert drivers("battery") == (1, 0, 1)


def test_a_job_without_planes_counts_nothing():
    counted = take_off_all(branch(planes=()))["J1"]
    assert set(counted.items.values()) == {0}
    assert counted.power_w == 0


def test_planes_without_a_racking_use_the_tables_first():
    rails = (racking("short", max_span_mm=610.0), racking("long", max_span_mm=1830.0))
    folder = branch(planes=(plane("a"), plane("b", racking="long")), racking=rails)
    spacings = [p.attachment_spacing_mm for p in take_off_all(folder)["J1"].planes]
    assert spacings == [610, 1830]


def test_a_racking_that_has_no_row_is_told():
    found = take_off_all(branch(planes=(plane(racking="unheard"),), racking=(racking(),)))
    assert found["J1"].planes[0].problems == ("plane south: no racking unheard, counted with rail",)


def test_a_rail_beyond_forty_feet_asks_for_a_thermal_break():
    counted = take_off(job(), [(plane(rows=(11,)), module(), racking())])
    assert any("thermal break" in note for note in counted.planes[0].notes)
