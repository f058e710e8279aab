"""One of each trouble stands in the demo's tables, where its README says."""

from math import cos, hypot, radians

import pytest
from demo_tables import HORIZON, by_key, names, rows, troubles


def _requirement(job: str, kind: str) -> dict[str, str]:
    (row,) = [r for r in rows("requirements") if r["job"] == job and r["kind"] == kind]
    return row


def _hours(day: str, place: str = "Quillmere") -> list[dict[str, str]]:
    """Rows of all members between 7 and 16 o'clock."""
    return [
        row
        for row in rows("weather")
        if row["place"] == place and row["valid_at"][:10] == day and 7 <= _hour(row) < 16
    ]


def _hour(row: dict[str, str]) -> int:
    return int(row["valid_at"][11:13])


def _lift_share(found: list[dict[str, str]]) -> float:
    """Share of member hours within 17 and 26 mph, the package's pair for lifting."""
    calm = [
        float(row["wind_mps"]) <= 17 * 0.44704 and float(row["gust_mps"]) <= 26 * 0.44704
        for row in found
    ]
    return sum(calm) / len(calm)


def test_the_readme_lists_more_than_a_dozen_troubles():
    assert len(troubles()) >= 15


@pytest.mark.parametrize(
    ("trouble", "kind", "state"),
    [
        ("permit open", "permit", "open"),
        ("permit refused", "permit", "refused"),
        ("permit late", "permit", "asked"),
        ("permit awaited, likely in time", "permit", "asked"),
        ("structural letter open", "structural_letter", "open"),
    ],
)
def test_what_the_job_waits_for_stands_as_the_readme_says(trouble, kind, state):
    (job,) = names(trouble)
    assert _requirement(job, kind)["state"] == state


def test_the_late_permit_was_expected_before_the_demos_clock():
    (job,) = names("permit late")
    assert _requirement(job, "permit")["expected_on"] < "2026-05-03"


def test_the_structural_letter_is_asked_for_by_the_jobs_authority():
    (job,) = names("structural letter open")
    authority = by_key("authorities", "authority")[by_key("jobs", "job")[job]["authority"]]
    assert "structural_letter" in authority["asks_for"]


def test_the_kit_of_thursday_is_enough_for_one_of_the_two_jobs_and_not_for_both():
    (item,) = names("kit arrives on Thursday, two jobs want it")
    assert by_key("stock", "item")[item]["on_hand"] == "0"
    wanted = [
        sum(
            int(n)
            for plane in rows("planes")
            if plane["job"] == job and plane["module"] == item
            for n in plane["rows"].split(";")
        )
        for job in names("two jobs that want it")
    ]
    coming = {r["expected_on"]: float(r["quantity"]) for r in rows("arrivals") if r["item"] == item}
    in_time = {day: amount for day, amount in coming.items() if day <= HORIZON[-1]}
    assert list(in_time) == ["2026-05-07"]
    assert max(wanted) <= in_time["2026-05-07"] < sum(wanted)


def test_a_certificate_runs_out_on_a_wednesday_and_nobody_else_of_the_crew_has_it():
    (person,) = names("certificate runs out mid-week")
    crew = by_key("people", "person")[person]["crew"]
    mates = {row["person"] for row in rows("people") if row["crew"] == crew}
    holders = {
        row["person"]: row["expires_on"]
        for row in rows("certificates")
        if row["certificate"] == "electrician" and row["person"] in mates
    }
    assert holders == {person: "2026-05-06"}


def test_the_only_lead_of_a_crew_is_away_for_two_working_days():
    (person,) = names("absent lead")
    row = by_key("people", "person")[person]
    mates = [r for r in rows("people") if r["crew"] == row["crew"] and r["role"] == "lead"]
    (away,) = [r for r in rows("absences") if r["person"] == person]
    assert row["role"] == "lead"
    assert len(mates) == 1
    assert len([day for day in HORIZON if away["first_day"] <= day <= away["last_day"]]) == 2


def test_some_customers_allow_some_days_only():
    jobs = by_key("jobs", "job")
    assert all(jobs[job]["customer_days"] for job in names("customer days"))
    assert len(names("customer days")) >= 3


def test_two_sites_want_the_one_boom_and_no_crew_owns_one():
    stages = by_key("stages", "stage")
    wanting = [name for name, row in stages.items() if "boom" in row["equipment"].split(";")]
    assert wanting == names("one boom for two sites")
    assert by_key("equipment", "equipment")["boom"]["quantity"] == "1"
    assert not any("boom" in row["equipment"].split(";") for row in rows("crews"))


def test_the_two_half_day_stages_are_ready_and_a_kilometre_apart():
    stages, jobs = by_key("stages", "stage"), by_key("jobs", "job")
    first, second = (jobs[stages[n]["job"]] for n in names("two half-day stages that fit one day"))
    north = (float(first["latitude"]) - float(second["latitude"])) * 111.2
    east = (float(first["longitude"]) - float(second["longitude"])) * 111.2 * cos(radians(46.8))
    assert hypot(north, east) < 1
    assert first["storeys"] == second["storeys"] == "1"


def test_a_job_is_late_before_the_plan_begins():
    (job,) = names("job already late")
    assert by_key("jobs", "job")[job]["due_on"] < HORIZON[0]


def test_the_windy_days_are_shut_for_lifting_but_for_the_gap_at_noon():
    (gap,) = names("calm gap at noon of a windy day")
    for day in names("windy spell"):
        found = _hours(day)
        noon = [row for row in found if day == gap and 11 <= _hour(row) < 14]
        rest = [row for row in found if row not in noon]
        assert _lift_share(rest) < 0.2
        assert not noon or _lift_share(noon) >= 0.9


def test_monday_is_calm_in_every_member():
    assert _lift_share(_hours(HORIZON[0])) == 1


def test_the_wet_day_is_wet_in_most_members_and_dry_in_some():
    (day,) = names("wet day")
    wet = {row["member"] for row in _hours(day) if float(row["rain_mm"]) > 0.25}
    assert 15 <= len(wet) < 21


def test_one_morning_only_may_be_frosty():
    (frosty,) = names("frosty morning")
    cold = {
        row["valid_at"][:10]
        for row in rows("weather")
        if _hour(row) == 7 and float(row["temperature_c"]) < 4
    }
    assert cold == {frosty}


def test_thunder_stands_in_some_members_of_one_afternoon():
    (day,) = names("thunder in some members")
    found = [row for row in rows("weather") if float(row["thunder"]) > 0]
    assert {row["valid_at"][:10] for row in found} == {day}
    assert min(_hour(row) for row in found) >= 12
    assert 2 <= len({row["member"] for row in found}) <= 8


def test_a_customer_of_a_frozen_day_has_not_answered_yet():
    (job,) = names("customer of a frozen day has not answered")
    assert _requirement(job, "customer_confirmed")["state"] == "asked"
    assert {r["start_on"] for r in rows("plan") if r["stage"].startswith(job)} <= set(HORIZON[:2])


def test_one_published_row_is_pinned():
    (stage,) = names("pinned")
    assert [row["stage"] for row in rows("plan") if row["pinned"] == "yes"] == [stage]


def test_one_published_row_lies_on_a_day_on_which_its_crew_has_no_lead():
    (stage,) = names("published, but cannot stand")
    (row,) = [r for r in rows("plan") if r["stage"] == stage]
    (lead,) = names("absent lead")
    (away,) = [r for r in rows("absences") if r["person"] == lead]
    assert row["crew"] == by_key("people", "person")[lead]["crew"]
    assert away["first_day"] <= row["start_on"] <= away["last_day"]
