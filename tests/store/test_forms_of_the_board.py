"""What people write down over HTTP: kept once, never overwritten, asked about where it is odd."""

import json
import re
from datetime import UTC, date, datetime, timedelta
from html import unescape
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from form_boards import (
    LEAD,
    MANAGER,
    OFFICE,
    OTHER_LEAD,
    OWNER,
    client_of,
    view_of_today,
    visit_of_today,
    visit_of_tomorrow,
)
from form_pages import done, fields_in, filled, opened, sent
from sqlalchemy import insert
from store_cases import AT, BASE, PLAN, count_versions, now_in, tables_into

from crewplan.model.account import Actor
from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import enter
from crewplan.store.history import history
from crewplan.store.place import place_of
from crewplan.store.reading import hours_missed
from crewplan.store.recent import readings_on, ticks_of
from crewplan.store.schema import TABLE_ROWS
from crewplan.store.versions import add_version, version_at
from dashboard.entries.all_forms import FORMS

HOURS = "/enter/hours?stage=S1"
AFTER = "/enter/hours?stage=S2"
STATE = "/enter/state?job=J2&kind=permit"
SHARES = "/enter/progress?stage=S1"
LOAD = "/enter/load?stage=S1&day=2026-05-04"
READING = "/enter/reading?stage=S1&crew=Blue"
PIN = "/enter/pin?stage=S1&part=1"
ADDRESSES = (HOURS, STATE, SHARES, LOAD, READING, PIN)
DAY = date(2026, 5, 4)


@pytest.fixture
def planned(branch_store: Store, tmp_path: Path) -> Store:
    """A database in which S1 is published with Blue."""
    tables_into(branch_store, tmp_path / "planned", plan=PLAN)
    return branch_store


@pytest.fixture
def file(tmp_path: Path) -> str:
    """A folder for what does not depend on the kind of database."""
    return str(tmp_path / "file")


@pytest.fixture
def planned_file(file: str, tmp_path: Path) -> Store:
    """A file in which S1 is published with Blue."""
    store = open_store(place_of(file), create=True)
    tables_into(store, tmp_path / "before")
    tables_into(store, tmp_path / "planned", plan=PLAN)
    return store


def told(store: Store, stage: str = "S1") -> list[tuple[str, str, str]]:
    with store.read() as connection:
        events = history(connection, stage)
    return [(event.by, event.table, event.what) for event in events if event.by != "ann"]


def test_a_lead_enters_worked_and_lost_hours_of_the_crew_in_one_go(
    planned: Store, source: str
) -> None:
    client = client_of(source, LEAD)
    page = opened(client, HOURS)
    assert fields_in(page).getlist("person") == ["Ann", "Bob"]  # Blue's two, both chosen
    assert 'value="Cid"' not in page  # of another crew
    kept = done(
        client, HOURS, page, day="2026-05-04", hours="6", lost="1.5", cause="weather", note="rain"
    )
    assert "Kept: 15 h of 2 people." in kept
    rows = now_in(planned).rows["hours_worked"]
    assert [(row.person, row.hours, row.cause, row.note) for row in rows] == [
        ("Ann", 6, "", "rain"), ("Ann", 1.5, "weather", "rain"),
        ("Bob", 6, "", "rain"), ("Bob", 1.5, "weather", "rain"),
    ]  # fmt: skip
    assert count_versions(planned) == 3  # together, as one change
    assert {by for by, _, _ in told(planned)} == {"Lea"}


def test_what_hours_were_lost_about_is_kept_with_the_lost_hours_only(
    planned_file: Store, file: str
) -> None:
    client = client_of(file, LEAD)
    page = opened(client, HOURS)
    assert '<option value="end clamp">' in page
    typed = {"day": "2026-05-04", "hours": "6", "about": "Gust"}
    alone = sent(client, HOURS, filled(page, **typed))
    assert "Say how many hours were lost, or leave this empty." in alone.text
    page = opened(client, HOURS)
    done(client, HOURS, page, **typed, lost="1", cause="weather")
    rows = now_in(planned_file).rows["hours_worked"]
    assert {(row.cause, row.about) for row in rows} == {("", ""), ("weather", "Gust")}
    assert "weather: Gust" in opened(client, f"{HOURS}&day=2026-05-04")


def test_hours_written_before_there_was_a_column_about_are_read_and_corrected(
    planned_file: Store, file: str
) -> None:
    """A row as an older program wrote it: one cell fewer."""
    older = ("2026-05-04", "S1", "Ann", "3", "", "weather", "rain")
    with planned_file.write() as connection:
        version = add_version(connection, "entry", "ann", AT, frozenset({"hours_worked"}))
        values = {
            "table_name": "hours_worked", "position": 0, "stage": "S1", "job": "", "day": older[0],
            "cells": json.dumps(older), "changed_in": version, "entered": True,
            "first_version": version,
        }  # fmt: skip
        connection.execute(insert(TABLE_ROWS), [values])
    client = client_of(file, LEAD)
    page = opened(client, f"{HOURS}&day=2026-05-04")
    [address] = re.findall(r'href="(/enter/correction[^"]*)"', page)
    address = unescape(address)
    done(client, address, opened(client, address), about="gust")
    (row,) = now_in(planned_file).rows["hours_worked"]
    assert (row.hours, row.cause, row.note, row.about) == (3, "weather", "rain", "gust")


def test_a_correction_to_odd_hours_is_asked_about_before_it_is_kept(
    planned_file: Store, file: str
) -> None:
    client = client_of(file, LEAD)
    done(client, HOURS, opened(client, HOURS), hours="6")
    address = unescape(re.findall(r'href="(/enter/correction[^"]*)"', opened(client, HOURS))[0])
    asked = sent(client, address, filled(opened(client, address), hours="20"))
    assert asked.status_code == 409
    assert "has 20 h on" in asked.text
    assert {row.hours for row in now_in(planned_file).rows["hours_worked"]} == {6}
    assert sent(client, address, filled(asked.text, sure="yes")).status_code == 303
    kept = [row.hours for row in now_in(planned_file).rows["hours_worked"]]
    assert sorted(set(kept)) == [6, 20]
    assert kept.count(20) == 1


def test_a_fresh_entry_shows_at_once_though_the_look_is_older(planned: Store, source: str) -> None:
    client, other = client_of(source, LEAD), client_of(source, MANAGER)
    done(client, HOURS, opened(client, HOURS), hours="6.25")
    assert "6.25 h" in opened(other, HOURS)


@pytest.mark.parametrize(
    ("typed", "field", "sentence"),
    [
        ({"hours": "8,5"}, "hours", "&#34;8,5&#34; is not a number above 0 and up to 24."),
        ({"hours": "25"}, "hours", "&#34;25&#34; is not a number above 0 and up to 24."),
        ({"hours": ""}, "hours", "Say how many hours were worked, or how many were lost."),
        ({"hours": "5", "lost": "2"}, "cause", "Say what the hours were lost for."),
        ({"hours": "5", "cause": "weather"}, "lost", "Say how many hours were lost"),
        ({"hours": "5", "person": []}, "person", "Say who worked"),
        ({"hours": "5", "person": ["Cid"]}, "person", "nobody of that name is in your crews"),
        ({"hours": "5", "day": "yesterday"}, "day", "is not a day written as 2026-05-04"),
        ({"hours": "5", "note": "a\0b"}, "note", "a character that is no text"),
    ],
)
def test_bad_values_come_back_with_a_sentence_beside_the_field_and_all_that_was_typed(
    planned_file: Store, file: str, typed: dict[str, object], field: str, sentence: str
) -> None:
    client = client_of(file, LEAD)
    words = {"note": "a <word>", "day": "2026-05-04"} | typed
    answer = sent(client, HOURS, filled(opened(client, HOURS), **words))
    assert answer.status_code == 422
    assert f'id="{field}-fault">' in answer.text
    assert sentence in answer.text
    again = fields_in(answer.text)
    for name, value in words.items():
        expected = value if isinstance(value, list) else [value]
        if name == "person":
            expected = [one for one in expected if one in ("Ann", "Bob")]
        if value != "a\0b":
            assert again.getlist(name) == expected or (name == "cause" and value == "")
    assert count_versions(planned_file) == 2


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_form_sent_twice_is_kept_once(planned: Store, source: str, address: str) -> None:
    client = client_of(source, MANAGER)
    typed = {
        HOURS: {"hours": "6"},
        STATE: {"state": "granted", "granted_on": "2026-05-01"},
        SHARES: {"day": "2026-05-03", "done__rails": "40"},
        LOAD: {"item": ["sealant"]},
        READING: {"gust": "12", "time": "07:00"},
        PIN: {"pinned": "yes"},
    }[address]
    fields = filled(opened(client, address), **typed)
    first, second = sent(client, address, fields), sent(client, address, fields)
    assert (first.status_code, second.status_code) == (303, 303), first.text
    assert "nothing was written twice" in opened(client, second.headers["Location"])
    assert len(told(planned, "S3" if address == STATE else "S1")) == (2 if address == HOURS else 1)


def test_the_second_of_two_people_gets_the_difference_and_the_choice(
    planned: Store, source: str
) -> None:
    olga, meg = client_of(source, OFFICE), client_of(source, MANAGER)
    hers, mine = opened(olga, STATE), opened(meg, STATE)
    done(olga, STATE, hers, state="granted", granted_on="2026-05-01")
    answer = sent(meg, STATE, filled(mine, state="granted", granted_on="2026-05-02"))
    assert answer.status_code == 409
    told_at = re.search(r"Olga changed this on (.*), after you opened the page", answer.text)
    assert told_at  # in the branch's own time, as all other times of the board
    assert re.fullmatch(r"\w{3} \d{1,2} \w{3}, \d\d:\d\d", told_at[1])
    with planned.read() as connection:
        made = datetime.fromisoformat(version_at(connection, None).made_at)
    assert f"{made.astimezone(ZoneInfo('America/Chicago')):%H:%M}" in told_at[1]
    row = "<td>empty</td><td>2026-05-01</td><td>2026-05-02</td>"
    assert row in answer.text
    assert now_in(planned).rows["requirements"][1].granted_on == date(2026, 5, 1)
    kept = done(meg, STATE, answer.text)  # 'put mine in its place'
    assert "Kept: granted." in kept
    assert now_in(planned).rows["requirements"][1].granted_on == date(2026, 5, 2)
    assert [by for by, _, _ in told(planned, "S3")] == ["Olga", "Meg"]


def test_keeping_theirs_writes_nothing(planned: Store, source: str) -> None:
    olga, meg = client_of(source, OFFICE), client_of(source, MANAGER)
    mine = opened(meg, STATE)
    done(olga, STATE, opened(olga, STATE), state="refused")
    answer = sent(meg, STATE, filled(mine, state="granted", granted_on="2026-05-02"))
    assert 'href="/enter/state?job=J2&amp;kind=permit">Keep theirs' in answer.text
    assert fields_in(opened(meg, STATE))["state"] == "refused"
    assert count_versions(planned) == 4  # the refusal, and the past request that it answers


def test_a_third_change_after_the_choice_is_a_conflict_again(planned: Store, source: str) -> None:
    one, two = client_of(source, OFFICE), client_of(source, MANAGER)
    mine = opened(two, STATE)
    done(one, STATE, opened(one, STATE), state="refused")
    chosen = sent(two, STATE, filled(mine, state="not_needed")).text
    done(one, STATE, opened(one, STATE), state="open")
    assert sent(two, STATE, fields_in(chosen)).status_code == 409


def test_two_leads_who_report_the_same_step_get_the_difference_too(
    planned: Store, source: str
) -> None:
    lea, meg = client_of(source, LEAD), client_of(source, MANAGER)
    hers, mine = opened(lea, SHARES), opened(meg, SHARES)
    done(lea, SHARES, hers, day="2026-05-03", done__rails="40", done__lift="10")
    answer = sent(meg, SHARES, filled(mine, day="2026-05-03", done__rails="70"))
    assert answer.status_code == 409
    assert "<td>empty</td><td>0.4</td><td>0.7</td>" in answer.text
    done(meg, SHARES, answer.text)
    shares = {row.step: row.share_done for row in now_in(planned).rows["progress"]}
    assert shares == {"rails": 0.7, "lift": 0.1}


def test_two_who_tick_at_once_undo_nothing_of_each_others(planned: Store, source: str) -> None:
    one, two = client_of(source, LEAD), client_of(source, MANAGER)
    hers, mine = opened(one, LOAD), opened(two, LOAD)
    done(one, LOAD, hers, item=["sealant", "torque wrench"])
    done(two, LOAD, mine, item=["rescue kit"])
    with planned.read() as connection:
        on = {item for item, tick in ticks_of(connection, "S1", DAY).items() if tick.ticked}
    assert on == {"sealant", "torque wrench", "rescue kit"}
    page = opened(one, LOAD)
    done(one, LOAD, page, item=["rescue kit", "sealant"])
    assert "2 of" in opened(two, LOAD)
    assert ("Lea", "load list", "torque wrench no longer ticked for 2026-05-04") in told(planned)


def test_whoever_loads_is_told_what_was_missing_lately(planned: Store, source: str) -> None:
    """Though it was on another stage, and whatever the crew that was short of it."""
    client = client_of(source, LEAD)
    assert "Count these first" not in opened(client, LOAD)
    row = {"day": "2026-04-24", "stage": "S2", "person": "Cid", "hours": "1"}
    row |= {"cause": "missing_tool_or_part", "about": "rail"}
    enter(planned, "hours_worked", row, "meg", AT)
    assert "in the last 8 weeks: rail (once, on Fri 24 Apr)." in opened(client, LOAD)
    missed = hours_missed(source, DAY)
    assert missed is not None
    assert [(one.stage, one.about) for one in missed] == [("S2", "rail")]
    assert hours_missed(source, DAY + timedelta(weeks=8)) == ()


@pytest.mark.parametrize(
    ("typed", "question"),
    [
        ({"hours": "17", "person": ["Ann"]}, "Ann has 17 h on 2026-05-04, more than 16 h"),
        ({"hours": "6", "day": "2026-05-03"}, "whose job begins no earlier than 2026-05-04"),
        ({"hours": "6", "day": "2026-05-05"}, "a day after today, 2026-05-04"),
    ],
)
def test_odd_hours_are_asked_about_and_kept_only_when_somebody_says_so(
    planned_file: Store, file: str, typed: dict[str, object], question: str
) -> None:
    client = client_of(file, LEAD)
    asked = sent(client, HOURS, filled(opened(client, HOURS), **({"day": "2026-05-04"} | typed)))
    assert asked.status_code == 409
    assert question in asked.text
    assert count_versions(planned_file) == 2
    changed = sent(client, HOURS, filled(asked.text, look="again"))
    assert fields_in(changed.text)["hours"] == typed["hours"]
    done(client, HOURS, asked.text, sure="yes")
    assert count_versions(planned_file) == 3
    assert any(
        question in what and what.endswith("Answer: keep it.") for _, _, what in told(planned_file)
    )


def test_the_same_hours_again_and_hours_on_a_finished_stage_are_asked_about(
    planned_file: Store, file: str
) -> None:
    client = client_of(file, LEAD)
    words = {"day": "2026-05-04", "hours": "6", "person": ["Ann"]}
    done(client, HOURS, opened(client, HOURS), **words, sure="yes")
    again = sent(client, HOURS, filled(opened(client, HOURS), **words))
    assert "Ann has 6 h on 2026-05-04 on S1 already, and now 6 h for the same" in again.text
    shares = opened(client, SHARES)
    steps = {name: "100" for name in fields_in(shares) if name.startswith("done ")}
    done(client, SHARES, shares, day="2026-05-03", **{n.replace(" ", "__"): "100" for n in steps})
    late = sent(client, HOURS, filled(opened(client, HOURS), **(words | {"person": ["Bob"]})))
    assert "reported finished on 2026-05-03" in late.text


def test_hours_on_a_stage_before_the_one_that_comes_first_is_done_are_asked_about(
    planned_file: Store, file: str
) -> None:
    """S2 comes after S1, of which a half is done."""
    client = client_of(file, MANAGER)
    shares = opened(client, SHARES)
    steps = {name: "50" for name in fields_in(shares) if name.startswith("done ")}
    done(client, SHARES, shares, day="2026-05-03", **{n.replace(" ", "__"): "50" for n in steps})
    words = {"day": "2026-05-04", "hours": "6", "person": ["Ann"]}
    early = sent(client, AFTER, filled(opened(client, AFTER), **words))
    assert early.status_code == 409
    assert "on S2, which comes after S1, finished no sooner than" in early.text


def test_hours_are_corrected_and_the_history_has_both(planned_file: Store, file: str) -> None:
    client = client_of(file, LEAD)
    words = {"day": "2026-05-04", "hours": "6", "person": ["Ann"], "sure": "yes"}
    page = done(client, HOURS, opened(client, HOURS), **words)
    page = opened(client, f"{HOURS}&day=2026-05-04")
    address = page.partition('href="/enter/correction')[2].partition('"')[0]
    address = "/enter/correction" + address.replace("&amp;", "&")
    mine, other = opened(client, address), opened(client, address)
    assert "Kept; the history has both." in done(client, address, mine, hours="5", sure="yes")
    assert sent(client, address, filled(other, hours="4", sure="yes")).status_code == 409
    assert [row.hours for row in now_in(planned_file).rows["hours_worked"]] == [5]
    assert ("Lea", "hours_worked", "changed: hours 6 -> 5") in told(planned_file)


def test_a_reading_over_the_limit_turns_the_go_of_today_to_no_go_at_once(
    planned: Store, source: str
) -> None:
    view = view_of_today()
    client = client_of(source, LEAD, view)
    page = opened(client, READING)
    kept = done(client, READING, page, gust="31", unit="mph")
    assert 'role="alert"><img src="/assets/no-go.svg"' in kept
    assert "NO-GO for lift: measured on the roof at" in kept
    assert 'class="kept"' not in kept
    with planned.read() as connection:
        [reading] = readings_on(connection, view.gate_day)
    assert (reading.gust, reading.unit, reading.reading.by) == (31.0, "mph", "Lea")
    assert any(
        table == "verdicts" and "NO-GO" in what and "by reading" in what
        for _, table, what in told(planned)
    )
    back = done(client, READING, opened(client, READING), wrong=str(reading.id))
    assert "taken back" in back
    with planned.read() as connection:
        assert readings_on(connection, view.gate_day) == ()


@pytest.mark.parametrize(
    ("gust", "told"),
    [
        ("12", "Kept. It is over no limit, and makes no go"),
        (
            "31",  # shut for the half hour of `reading_wait_h` from when it was measured
            "NO-GO for lift: measured on the roof at 16:00: gust 31 mph, over 26 mph;"
            " no-go until 16:30, and in each later hour",
        ),
        ("36", "NO-GO for lift and roof: measured"),
        ("50", "NO-GO for lift and roof and ground: measured"),
    ],
)
def test_a_reading_over_a_limit_is_said_so_though_the_board_shows_another_day(
    planned_file: Store, file: str, gust: str, told: str
) -> None:
    client = client_of(file, LEAD)  # its look is of the afternoon, its page of the next day
    assert told in done(client, READING, opened(client, READING), gust=gust, unit="mph")


def test_a_low_reading_after_one_that_shut_leaves_the_stop_in_sight(
    planned_file: Store, file: str
) -> None:
    client = client_of(file, LEAD)
    done(client, READING, opened(client, READING), gust="31", unit="mph")
    page = done(client, READING, opened(client, READING), gust="5", unit="mph")
    stop = page.index('class="stop"')
    assert page.index("NO-GO for lift: measured") > stop
    assert stop < page.index("It is over no limit, and makes no go")
    assert 'class="kept"' not in page


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"gust": "", "mean": ""}, "Write the gust, the mean, or both."),
        ({"gust": "400"}, "is not a wind speed from 0 to 134 mph"),
        ({"gust": "-1"}, "is not a wind speed"),
        ({"gust": "nan"}, "is not a wind speed"),
        ({"gust": "10", "mean": "20"}, "A gust is not below the mean"),
        ({"gust": "10", "time": "23:59"}, "is still to come"),
        ({"gust": "10", "time": "soon"}, "is not a time of day"),
        ({"gust": "10", "where": "moon"}, "Say where it was measured."),
        ({"gust": "10", "unit": "furlongs"}, "Choose a unit."),
    ],
)
def test_a_reading_that_cannot_be_is_said_so(
    planned_file: Store, file: str, typed: dict[str, str], sentence: str
) -> None:
    client = client_of(file, LEAD)
    answer = sent(client, READING, filled(opened(client, READING), **({"unit": "mph"} | typed)))
    assert answer.status_code == 422
    assert sentence in answer.text


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"state": "granted"}, "Say on which day it was granted."),
        ({"state": "asked", "asked_on": ""}, "Say on which day it was asked for."),
        ({"state": "granted", "granted_on": "2026-04-01"}, "granted before it was asked for"),
        ({"state": "refused", "granted_on": "2026-05-01"}, "one of the two is wrong"),
        ({"state": "perhaps"}, "is not one of open, asked"),
    ],
)
def test_a_state_that_makes_no_sense_is_said_so(
    planned_file: Store, file: str, typed: dict[str, str], sentence: str
) -> None:
    client = client_of(file, OFFICE)
    answer = sent(client, STATE, filled(opened(client, STATE), **typed))
    assert answer.status_code == 422
    assert sentence in answer.text


def test_a_requirement_without_a_row_is_added(planned: Store, source: str) -> None:
    client = client_of(source, OFFICE)
    address = "/enter/state?job=J1&kind=deposit"
    page = opened(client, address)
    assert "keeping it adds one" in page
    done(client, address, page, state="asked", asked_on="2026-05-01")
    added = now_in(planned).rows["requirements"][-1]
    assert (added.job, added.kind, added.state) == ("J1", "deposit", "asked")


def test_the_manager_pins_and_unpins_what_is_published(planned: Store, source: str) -> None:
    client = client_of(source, MANAGER)
    assert "Pinned: the next plan keeps" in done(client, PIN, opened(client, PIN), pinned="yes")
    assert now_in(planned).rows["plan"][0].pinned
    assert "Not pinned." in done(client, PIN, opened(client, PIN), pinned="no")
    assert not now_in(planned).rows["plan"][0].pinned
    assert client.get("/enter/pin?stage=S2&part=1").status_code == 404


@pytest.mark.parametrize(
    ("actor", "may"),
    [
        (MANAGER, set(ADDRESSES)),
        (OFFICE, {HOURS, SHARES, STATE}),
        (OWNER, set()),
        (LEAD, {HOURS, SHARES, LOAD, READING}),
        (OTHER_LEAD, set()),
    ],
    ids=lambda value: value.name if isinstance(value, Actor) else "",
)
def test_each_role_reaches_its_forms_and_can_send_no_other(
    planned: Store, source: str, actor: Actor, may: set[str]
) -> None:
    client, manager = client_of(source, actor), client_of(source, MANAGER)
    token = fields_in(opened(client_of(source, MANAGER), HOURS))["csrf_token"]
    for address in ADDRESSES:
        answer = client.get(address)
        assert (answer.status_code == 200) is (address in may), address
        if address not in may:
            fields = filled(opened(manager, address), csrf_token=token)
            assert client.post(address, data=fields).status_code in (403, 404)
    assert count_versions(planned) == 2


def test_what_names_nothing_is_said_so_and_writes_nothing(planned_file: Store, file: str) -> None:
    client = client_of(file, MANAGER)
    for address in (
        "/enter/hours?stage=S99", "/enter/hours", "/enter/reading?crew=Nobody",
        "/enter/state?job=J9&kind=permit", "/enter/state?job=J1", "/enter/pin?stage=S1&part=7",
        "/enter/correction?stage=S1&row=999", "/enter/correction?stage=S1&row=x",
    ):  # fmt: skip
        answer = client.get(address)
        assert answer.status_code == 404, address
        assert "Nothing here" in answer.text
    fields = filled(opened(client, HOURS), hours="6", day="2026-05-04", form_mark="stolen")
    assert "no mark of this board" in sent(client, HOURS, fields).text
    fields = filled(opened(client, STATE), state="open", version_read="x")
    assert "which version it was made of" in sent(client, STATE, fields).text
    assert count_versions(planned_file) == 2


def test_nobody_can_have_the_board_say_that_something_was_kept(
    planned_file: Store, file: str
) -> None:
    page = opened(client_of(file, MANAGER), f"{HOURS}&kept=Send+your+password+to+us")
    assert "Send your password" not in page


def test_a_board_on_a_plain_folder_has_no_forms_and_says_how_to_get_them(tmp_path: Path) -> None:
    client = client_of(str(tmp_path), MANAGER)
    for address in ("/enter", "/enter/states", "/enter/pins", *ADDRESSES):
        answer = client.get(address)
        assert answer.status_code == 404
        assert "crewplan import FOLDER makes it" in answer.text
    assert "crewplan import FOLDER makes it" in opened(client, "/tomorrow")
    assert "/enter" not in opened(client, "/small/tomorrow")


def test_the_lists_lead_to_the_forms_that_somebody_may_use(planned_file: Store, file: str) -> None:
    office = opened(client_of(file, OFFICE), "/enter")
    assert "/enter/states" in office
    assert "/enter/pins" not in office
    assert "permit" in opened(client_of(file, OFFICE), "/enter/states")
    assert "Roof work S1" in opened(client_of(file, MANAGER), "/enter/pins")
    assert "/enter/states" not in opened(client_of(file, LEAD), "/enter")
    assert 'href="/enter"' in opened(client_of(file, LEAD), "/tomorrow")
    assert 'href="/enter"' not in opened(client_of(file, OWNER), "/tomorrow")


def test_the_lists_have_what_was_brought_since_the_boards_look(
    planned_file: Store, file: str, tmp_path: Path
) -> None:
    added = {
        "jobs": "J9,,46.8,-92.1,2026-05-04,2026-05-30,,1,\n",
        "stages": "S9,J9,electrical,,,,,2,\n",
        "requirements": "J9,permit,open,,,\n",
    }
    tables = {
        name: (BASE / f"{name}.csv").read_text(encoding="utf-8") + rows
        for name, rows in added.items()
    }
    plan = PLAN + "S9,1,Blue,2026-05-06,am,2,no\n"
    office, manager = client_of(file, OFFICE), client_of(file, MANAGER)
    tables_into(planned_file, tmp_path / "brought", plan=plan, **tables)
    assert "J9 (J9)" in opened(office, "/enter/states")
    assert ">S9</a>" in opened(manager, "/enter/pins")
    answer = manager.get("/enter/state?job=J9&kind=permit")
    assert answer.status_code == 404
    assert "There is no job &#x27;J9&#x27; in the branch as the board knows it." in answer.text


def test_every_form_says_what_it_needs_to_be_let_in() -> None:
    assert {form.rule: form.act for form in FORMS} == {
        "/enter/hours": "enter hours",
        "/enter/correction": "enter hours",
        "/enter/progress": "enter hours",
        "/enter/load": "tick the load",
        "/enter/reading": "enter readings",
        "/enter/state": "enter states",
        "/enter/pin": "pin",
        "/enter/publish": "publish",
    }


def test_where_readings_cannot_be_read_a_go_is_unknown(planned: Store, source: str) -> None:
    from dashboard.entries.desk import held_view

    view = view_of_today()
    held = held_view(planned, view, "Blue", datetime.now(UTC))
    assert [one.verdict for one in held.verdicts] == [one.verdict for one in view.verdicts]
    with planned.write() as connection:
        connection.exec_driver_sql("DROP TABLE records")
    held = held_view(planned, view, "Blue", datetime.now(UTC))
    assert {one.verdict for one in held.verdicts} == {"unknown"}
    assert all(hour.verdict != "go" for one in held.verdicts for hour in one.hours)


def test_the_crews_page_shows_what_was_written_down_and_shuts_by_what_was_measured(
    planned_file: Store, file: str
) -> None:
    client = client_of(file, MANAGER, visit_of_today())
    page, of = "/small/tomorrow?crew=Alder", "stage=S1&crew=Alder"
    before = opened(client, page)
    assert before.count("<b>GO</b>") == 3
    done(client, f"/enter/load?{of}", opened(client, f"/enter/load?{of}"), item=["sealant"])
    done(client, f"/enter/reading?{of}", opened(client, f"/enter/reading?{of}"), gust="31")
    shown = opened(client, page)
    assert "measured on the roof at" in shown
    assert (shown.count("<b>GO</b>"), shown.count("<b>NO-GO</b>")) == (2, 1)
    assert "Load: 1 of " in shown
    assert "gust 31 mph" in shown
    for words in ("Hours", "Share done", "Load", "Wind measured"):
        assert f">{words}</a>" in shown
    assert len(shown) < 150_000  # the target in the project's design, of a page without pictures


def test_a_page_of_tomorrow_says_what_the_crew_measured_over_a_limit_today(
    planned_file: Store, file: str
) -> None:
    client = client_of(file, MANAGER, visit_of_tomorrow())
    page, of = "/small/tomorrow?crew=Alder", "stage=S1&crew=Alder"
    done(client, f"/enter/reading?{of}", opened(client, f"/enter/reading?{of}"), gust="12")
    assert "Today NO-GO" not in opened(client, page)
    done(client, f"/enter/reading?{of}", opened(client, f"/enter/reading?{of}"), gust="31")
    shown = opened(client, page)
    assert "<p>Today NO-GO for lift: measured on the roof at" in shown
    assert shown.count("<b>GO</b>") == 3  # the verdicts of tomorrow are their own
