"""What stands on a crew's sheet, whatever it is printed as."""

import json
import re
from dataclasses import replace
from datetime import date

import pytest
from builders import job, module, plane, racking
from sheet_cases import (
    ELECTRICAL,
    ROOF,
    UNPLACED,
    facts_of,
    in_units,
    no_forecast,
    placed,
    real_clock,
    sheet,
    week,
    with_branch,
)

from crewplan.model.waiting_rows import Authority
from crewplan.publishing.crew_sheet.as_json import sheet_json
from crewplan.publishing.crew_sheet.as_text import sheet_text
from crewplan.publishing.crew_sheet.blocks import VerdictCard
from crewplan.publishing.crew_sheet.briefing import special
from crewplan.publishing.crew_sheet.closing import closing_checks
from crewplan.publishing.crew_sheet.roof import load_words, marks_grid
from crewplan.publishing.crew_sheet.work_order import open_without
from crewplan.publishing.expected_power import expected_power_w
from crewplan.publishing.site_cautions import ADVICE_ONLY
from crewplan.publishing.spares import SPARES, SpareRule, spare
from crewplan.takeoff import take_off
from crewplan.takeoff.marks import plane_marks


def told(facts):
    return " ".join(sheet_text(sheet(facts)).split())


def test_the_sheet_of_a_stage_without_a_place_says_so_on_top():
    whole = sheet(facts_of(UNPLACED))
    assert whole.banner[0].startswith("NOT PLACED")
    assert sheet_text(whole).startswith("NOT PLACED")
    assert any("permit" in line for line in whole.banner)
    assert whole.title.startswith("No day")
    assert "No day, so no verdict: unknown, so do not go." in told(facts_of(UNPLACED))


def test_a_stage_that_is_done_is_told_as_done():
    done = replace(facts_of(UNPLACED), unplaced=None)
    assert done.state == "done"
    assert sheet(done).banner[0] == "NOT PLACED: this stage is done; nothing is left to do."


def test_a_pencilled_stage_says_what_it_waits_for_and_to_ask_first():
    facts = facts_of()
    lacks = ("permit", "kit: M400 not on hand yet")
    waiting = replace(facts, planned=replace(facts.planned, firm=False, waits_for=lacks))
    assert sheet(waiting).banner[0].startswith("PENCILLED, not firm: permit")
    assert "; kit: M400 not on hand yet. Ask the office before you go." in sheet(waiting).banner[0]


def test_the_day_stands_first_and_the_crew_and_site_with_it():
    facts = facts_of()
    assert sheet(facts).title.startswith("Monday 4 May 2026: roof J27-roof, crew Alder")
    for part in (facts.planned.placement.lead, facts.job.address, facts.job.phone):
        assert part in told(facts)
    assert "07:00 to 16:00, break 11:15 to 11:45" in told(facts)  # branch.toml: 9 h from 7, 0.5 h


def test_every_verdict_has_beside_it_whose_word_comes_first_when_it_is_void_and_the_clocks_mark():
    facts = facts_of()
    cards = [
        block
        for section in sheet(facts).sections
        for block in section.blocks
        if isinstance(block, VerdictCard)
    ]
    days = {planned.day for planned in facts.verdicts}
    assert len(days) == len(facts.days)
    assert len(cards) == len(facts.verdicts) == 3 * len(days)
    for card in cards:
        assert ADVICE_ONLY in card.lines
        assert any(re.fullmatch(r"Void after .*; ask again before then\.", x) for x in card.windows)
        assert "Clock set by hand: not for work." in card.lines


def test_the_real_clock_leaves_no_mark():
    assert "set by hand" not in told(real_clock(facts_of()))


def test_without_a_forecast_the_word_is_unknown_so_do_not_go():
    words = told(no_forecast(facts_of()))
    assert "[?] UNKNOWN, so do not go" in words
    assert "There is no forecast to judge by." in words
    assert "[+] GO" not in words


def test_the_wind_on_a_module_at_the_limit_is_told_in_the_readers_units():
    # shared/TRADE.md, computed: 26 mph = 11.62 m/s; 0.613 * 11.62^2 * 1.2 * 1.134 * 1.722 = 194 N
    assert "a gust of 11.6 m/s, the wind presses with 83 Pa" in told(in_units(facts_of(), "metric"))
    assert "is pushed with 194 N" in told(in_units(facts_of(), "metric"))
    assert "a gust of 26 mph" in told(in_units(facts_of(), "us"))


def test_hours_stand_by_step_and_add_up():
    answer = sheet_json(facts_of())
    assert sum(row["p50_h"] for row in answer["hours"]) == pytest.approx(answer["labour_p50_h"])
    assert {row["exposure"] for row in answer["hours"]} == {"ground", "roof", "lift"}


def test_the_load_out_counts_without_spares_in_the_take_offs_words():
    facts = facts_of()
    lines = {row["item"]: row for row in sheet_json(facts)["load"]}
    counted = {item: pieces for item, pieces in facts.takeoff.items.items() if pieces}
    assert {item: row["counted"] for item, row in lines.items()} == counted
    # by the stated rule, by hand: 5 % of 32 is 1.6, at least 4; 10 % of 8 is 0.8, at least 2
    assert (lines["mid clamp"]["counted"], lines["mid clamp"]["spare"]) == (32, 4)
    assert (lines["end clamp"]["counted"], lines["end clamp"]["spare"]) == (8, 2)
    assert lines["module"]["spare"] == 0


def test_a_half_of_a_roof_loads_its_share_and_both_halves_load_the_whole():
    facts = facts_of()
    first = replace(facts.stage, share=0.5)
    second = replace(facts.stage, stage="second", after=(first.stage,), share=0.5)
    halves = with_branch(facts, stages=(first, second))

    def counted(stage):
        load = sheet_json(replace(halves, stage=stage))["load"]
        return {row["item"]: row["counted"] for row in load}

    whole = {item: pieces for item, pieces in facts.takeoff.items.items() if pieces}
    assert all(counted(first)[item] >= pieces / 2 for item, pieces in whole.items())
    assert {item: n + counted(second).get(item, 0) for item, n in counted(first).items()} == (whole)


@pytest.mark.parametrize(("counted", "pieces"), [(0, 0), (1, 4), (80, 4), (81, 5), (200, 10)])
def test_spares_are_a_share_rounded_up_and_never_under_the_least(counted, pieces):
    assert SpareRule(0.05, 4).of(counted) == pieces  # by hand: 5 %, at least 4


def test_every_word_that_the_take_off_counts_has_a_rule_for_spares_and_others_get_one_too():
    assert set(SPARES) == set(facts_of().takeoff.items)
    assert spare("own word", 40) == 2  # 5 %, at least 1


@pytest.mark.parametrize(
    ("covering", "tool"), [("tile", "tile lifter"), ("slate", "slate ripper"),
                           ("metal", "soft-soled shoes"), ("shingle", "flat bar")]
)  # fmt: skip
def test_tools_follow_the_covering(covering, tool):
    facts = facts_of()
    planes = tuple(replace(row, covering=covering) for row in facts.branch.planes)
    assert any(tool in line for line in sheet_json(with_branch(facts, planes=planes))["tools"])


def test_leads_are_connected_before_a_module_is_set_down_and_frames_are_marked_on_the_ground():
    words = told(facts_of())
    assert "connect a module's lead before it is set down" in words
    assert "mark module frames on the ground" in words
    assert "16 15/16 in and 50 7/8 in from the lower edge" in words  # by hand: 1722 / 4 and 3 / 4
    steps = [
        line for line in sheet_text(sheet(facts_of())).splitlines() if re.match(r"\d+\. ", line)
    ]
    order = [line.split(":")[0].split(". ")[1] for line in steps]
    assert order.index("microinverters and leads") < order.index("set and clamp")


def test_what_can_go_on_when_the_lift_is_shut_waits_for_no_lift():
    steps = facts_of().hours.steps
    going = [step.step for step in open_without(steps, {"lift"})]
    assert "rails" in going
    assert not {"lift", "set_and_clamp", "torque_check", "clear_up"} & set(going)
    assert [step.step for step in open_without(steps, {"lift", "roof"})] == ["unload_and_prepare"]
    assert "Lift shut, roof go: unload and prepare" in told(facts_of())


def test_the_briefing_tells_what_is_special_and_has_a_line_to_sign_for_each_person():
    facts = facts_of()
    words = told(facts)
    assert "33.7° (8.0 in 12), steep; steep in law" in words  # by hand: 12 tan 33.7° = 8.0
    assert "Quillmere Building Desk: inspector wants the permit card on site" in words
    briefing = next(s for s in sheet(facts).sections if s.title == "Briefing")
    grid = briefing.blocks[-1]
    assert {row[0] for row in grid.rows} >= {person.person for person in facts.people}
    assert all(row[3] == "" for row in grid.rows)


def test_closing_checks_leave_torque_to_the_makers_sheet_and_room_for_what_was_found():
    bare = tuple(
        replace(row, attachment_torque_nm=None, rail_torque_nm=None, clamp_torque_nm=None,
                bonding_torque_nm=None)
        for row in facts_of().branch.racking
    )  # fmt: skip
    facts = with_branch(facts_of(), racking=bare)
    asked = {row["check"]: row["asked_for"] for row in sheet_json(facts)["closing"]}
    torque = [words for check, words in asked.items() if check.startswith("Torque")]
    assert len(torque) == 4
    assert set(torque) == {"maker's sheet: ________"}
    assert any(check.startswith("Bonding") for check in asked)
    assert any("both diagonals" in check for check in asked)


def test_torque_that_the_racking_states_from_its_makers_sheet_is_asked_for():
    asked = {row["check"]: row["asked_for"] for row in sheet_json(facts_of())["closing"]}
    # demo_data/racking.csv, invented: 12 N·m for clamps; by hand: 12 / 1.35582 = 8.9 ft·lbf
    assert asked["Torque: mid clamps and end clamps"] == "8.9 ft·lbf (yard_rail: invented)"
    metric = sheet_json(in_units(facts_of(), "metric"))["closing"]
    words = {row["check"]: row["asked_for"] for row in metric}
    assert words["Torque: bonding lugs"] == "10 N·m (yard_rail: invented)"


def test_seam_clamps_leave_no_hole_and_other_attachments_are_flashed():
    clamped = {row["check"] for row in sheet_json(facts_of())["closing"]}  # J27 has a metal roof
    assert "Seam clamps on seams only, no hole in the roof" in clamped
    assert not any("flashed" in check for check in clamped)
    shingles = {row["check"] for row in sheet_json(facts_of("J25-roof"))["closing"]}
    assert "Every attachment flashed and sealed, no hole left over" in shingles


def test_the_cut_list_tells_every_piece_of_every_rail_once():
    answer = sheet_json(facts_of())
    rails = [rail for plane in facts_of().takeoff.planes for rail in plane.rails]
    cut = sum(part["length_mm"] for row in answer["cuts"] for part in row["parts"])
    assert cut == pytest.approx(sum(rail.length_mm for rail in rails), abs=0.1 * 2 * len(rails))
    load = {row["item"]: row["counted"] for row in answer["load"]}
    assert len(answer["cuts"]) == load["rail"] >= answer["least_stock"]
    words = told(facts_of())
    assert "CUTTING THE RAILS" in words
    assert "1L\u00a01/3" in sheet_text(sheet(facts_of()))
    assert "no cutting takes fewer" in words


def test_without_measured_rafters_the_cut_list_is_a_proposal():
    stages = {row.job: row.stage for row in week().branch.stages if row.kind == "roof"}
    bare = next(p.job for p in week().branch.planes if p.first_rafter_mm is None)
    assert "the pieces are a proposal" in told(facts_of(stages[bare]))
    assert "the pieces are a proposal" not in told(facts_of())


def test_staggered_rails_are_told_one_by_one_and_rows_that_lie_differently_with_their_own_marks():
    roof = plane(rows=(6, 3), row_orientations=("portrait", "landscape"), row_left_mm=(0, 600),
                 array_left_mm=1000.0, first_rafter_mm=690.0, array_up_mm=300.0)  # fmt: skip
    rails = racking(cantilever_mm=600.0, staggered=True)
    counted = take_off(job(), [(roof, module(), rails)]).planes[0]
    grid = marks_grid(plane_marks(roof, module(), rails, counted), "metric")
    assert [row[0] for row in grid.rows] == ["1L", "1U", "2L", "2U"]
    assert [row[2] for row in grid.rows] == ["0", "0", "600", "600"]
    # by hand: 1722 / 4 and 3 / 4; the lying row begins at 1728.35, and 1134 / 4 and 3 / 4 more
    assert [row[4] for row in grid.rows] == ["430", "1292", "2012", "2579"]
    told = " ".join(load_words(plane_marks(roof, module(), rails, counted)))
    assert "at most 3 each" in told


def test_shims_are_told_as_what_eight_of_ten_such_roofs_take_with_what_is_assumed():
    stages = {row.job: row.stage for row in week().branch.stages if row.kind == "roof"}
    dips = next(p for p in week().branch.planes if p.unevenness_mm >= 8)
    words = told(facts_of(stages[dips.job]))
    assert f"Shims, plane {dips.plane}: eight of ten roofs" in words
    assert "(assumed: every dip up to that is alike likely)" in words


def test_lags_against_uplift_are_flagged_or_not_checked_and_never_called_safe():
    flagged = told(facts_of("J01-roof"))  # demo_data: 2900 Pa on one roof
    assert flagged.count("lag withdrawal against uplift FLAGGED") >= 2  # roof page and briefing
    clamped = told(facts_of())
    assert "lag withdrawal against uplift not checked (no lags, clamps on seams)" in clamped
    for words in (flagged, clamped):
        assert "see the structural letter, which decides" in words
        assert not any("safe" in text for text in re.findall(r"lag withdrawal[^.]*\.", words))


def test_expected_power_follows_irradiance_and_falls_with_heat():
    # by hand: 7200 W * 0.8 * (1 - 0.0035 * 20) = 5356.8 W
    assert expected_power_w(7200, 800, 45) == pytest.approx(5356.8)
    assert expected_power_w(7200, 1000, 25) == 7200
    assert "5.36" in told(facts_of())


def test_every_caution_names_its_source_and_nobody_is_alone_on_a_roof():
    answer = sheet_json(facts_of())
    assert all(row["source"] for row in answer["cautions"])
    assert "Never alone on a roof" in told(facts_of())
    assert "29 CFR 1926.501(b)(1)" in told(facts_of())


def test_limits_and_hours_name_where_they_are_from():
    words = told(facts_of())
    assert "lift gust at most 26 mph" in words
    assert "hours of rails: assumed share" in words


def test_lengths_follow_the_readers_units_everywhere():
    us, metric = told(in_units(facts_of(), "us")), told(in_units(facts_of(), "metric"))
    roof = slice(us.index("THE ROOF"), us.index("BRIEFING"))
    assert "430" not in us[roof]
    assert not re.search(r"\d mm\b", us[roof])
    assert "430 and 1292" in metric  # by hand: 430.5 and 1291.5 mm, to the even mm
    assert not re.search(
        r"\d in\b(?! 12)", metric[metric.index("THE ROOF") : metric.index("BRIEF")]
    )


def test_work_on_the_ground_has_no_roof_on_its_sheet():
    facts = facts_of(placed("electrical"))
    titles = [section.title for section in sheet(facts).sections]
    assert not any(title.startswith("The roof") for title in titles)
    assert {verdict.exposure for verdict in facts.verdicts} == {"ground"}
    assert sheet_json(facts)["load"] == []
    assert "lock-out kit" in told(facts)


def test_a_job_without_planes_says_that_there_is_no_take_off_and_no_drawing():
    facts = facts_of()
    bare = with_branch(
        replace(facts, takeoff=replace(facts.takeoff, planes=(), items={}, power_w=0.0)), planes=()
    )
    words = told(bare)
    assert "No take-off for this job: count on site before you load." in words
    assert "No planes are known for this job: no drawing." in words


def test_a_stage_begun_says_that_part_of_the_kit_is_on_site():
    facts = facts_of()
    begun = replace(facts, hours=replace(facts.hours, begun=True))
    assert "part of it is on site" in told(begun)
    assert "Work has begun here" in told(begun)


def test_json_has_the_contracts_names_and_no_number_that_is_none():
    answer = json.loads(json.dumps(sheet_json(facts_of()), allow_nan=False))
    assert next(iter(answer)) == "stage"
    assert answer["stage"] == ROOF
    assert set(answer["load"][0]) == {"item", "counted", "spare"}
    assert answer["clock"] == "set by hand"
    assert answer["cells"][0] == ["2026-05-04", "am"]
    bare = sheet_json(facts_of(UNPLACED))
    assert (bare["placed"], bare["crew"], bare["cells"]) == (False, None, [])
    assert bare["load"]


def authority_lines(**changes):
    """What the briefing says of the job's authority."""
    facts = facts_of(ELECTRICAL)
    name = facts.job.authority
    rows = (Authority(name, **changes),) if changes else ()
    return [line for line in special(with_branch(facts, authorities=rows)) if "locally" in line]


def test_the_sheet_tells_what_the_authority_asks_for_and_to_check_locally():
    told = authority_lines(
        crew_note="permit card on site",
        bonding_note="6 AWG bare to the farthest rail",
        labels_note="red placard at the meter",
        ridge_setback_mm=914.4,
        source="the desk's leaflet",
        checked_on=date(2026, 4, 2),
    )
    said = "(source: the desk's leaflet, held to it on 2026-04-02; check locally)."
    assert [line.partition(": ")[2] for line in told] == [
        f"keep 36 in below the ridge free {said}",
        f"permit card on site {said}",
        f"bonding: 6 AWG bare to the farthest rail {said}",
        f"labels: red placard at the meter {said}",
    ]


def test_where_nothing_is_recorded_of_the_authority_the_sheet_still_says_to_check_locally():
    name = facts_of(ELECTRICAL).job.authority
    assert authority_lines() == [f"Nothing is recorded: check locally what {name} asks for."]
    assert authority_lines(source="desk") == [
        f"{name}: nothing special is recorded (source: desk; check locally)."
    ]


def test_the_closing_checks_ask_for_the_authoritys_labels():
    facts = facts_of(ELECTRICAL)
    row = Authority(facts.job.authority, labels_note="red placard at the meter")
    checks = dict(closing_checks(with_branch(facts, authorities=(row,))))
    assert checks["Labels and placards"] == "red placard at the meter"
    bare = dict(closing_checks(with_branch(facts, authorities=())))
    assert bare["Labels and placards"] == "as the authority asks"
