"""The owner's page on a database: closed months as they were, and whether planning was right."""

import csv
import io
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from form_boards import OWNER, client_of
from store_cases import AT, PLAN, tables_into

from crewplan.model.closed import days_of
from crewplan.model.expected import Expectation
from crewplan.running.clock import Clock
from crewplan.running.hours_record import all_groupings
from crewplan.store.closed_months import close_month
from crewplan.store.connecting import Store
from crewplan.store.entering import enter
from crewplan.store.expectations import expectation_record
from crewplan.store.reading import read_branch
from crewplan.store.records import add_records
from crewplan.store.versions import version_at
from dashboard.tables.owner_tables import EXPORTS
from dashboard.text.owner_words import NOTHING_KEPT_HERE

APRIL = "from=2026-04-01&to=2026-04-30"
HOURS = (
    "day,stage,person,hours,cause\n2026-04-01,S1,Ann,8,\n2026-04-22,S1,Bob,2.5,weather\n"
    "2026-05-01,S1,Bob,4,\n"
)
LATE = {"day": "2026-04-30", "stage": "S1", "person": "Bob", "hours": "1.5", "cause": "weather"}
AS_IT_WAS = [name for name in EXPORTS if name not in ("what-to-change", "planning")]


@pytest.fixture
def worked(branch_store: Store, tmp_path: Path) -> Store:
    """A database with hours of two months on a stage."""
    tables_into(branch_store, tmp_path / "worked", hours_worked=HOURS, plan=PLAN)
    return branch_store


def close(store: Store, source: str) -> None:
    branch, span = read_branch(source), days_of("2026-04")
    records = all_groupings(branch, Clock(AT, "set by hand"), span)
    with store.write() as connection:
        version = version_at(connection, None).number
        close_month(connection, "2026-04", records, "otto", AT, version)


def exports(client: FlaskClient) -> dict[str, str]:
    return {name: client.get(f"/hours/export/{name}.csv?{APRIL}").text for name in AS_IT_WAS}


def test_a_closed_month_stays_on_the_page_and_in_its_exports_as_it_was(
    worked: Store, source: str
) -> None:
    client = client_of(source, OWNER)
    before = exports(client)
    assert "was closed by" not in client.get(f"/hours?{APRIL}").text
    close(worked, source)
    page = client.get(f"/hours?{APRIL}").text
    assert "2026-04 was closed by otto on 2026-05-03" in page
    assert "since closing" not in page
    enter(worked, "hours_worked", LATE, "bob", AT)
    page = client.get(f"/hours?{APRIL}").text
    assert "Most was lost on J1 (90 USD, most of it weather)" in page  # 2.5 h of Bob at 36
    assert "1 correction since closing, in none of these figures:" in page
    assert "bob (version 3), hours_worked: nothing -&gt; 2026-04-30" in page
    assert exports(client) == before
    weeks = [row["week"] for row in csv.DictReader(io.StringIO(before["lost"]))]
    assert weeks == ["2026-W14", "2026-W15", "2026-W16", "2026-W17"]  # 1 to 22 April, none left out


def test_other_days_count_what_was_entered_since_and_lead_to_the_closed_month(
    worked: Store, source: str
) -> None:
    client = client_of(source, OWNER)
    close(worked, source)
    enter(worked, "hours_worked", LATE, "bob", AT)
    page = client.get("/hours?from=2026-04-01").text
    assert "Most was lost on J1 (144 USD" in page  # 4 h of Bob at 36
    assert f'href="/hours?{APRIL.replace("&", "&amp;")}"' in page


def test_the_page_says_whether_chances_of_losing_a_visit_were_right(
    worked: Store, source: str
) -> None:
    """Two visits told 0.78 and 0.72: one lost to weather (22 April), one not (1 April)."""
    client = client_of(source, OWNER)
    assert NOTHING_KEPT_HERE in client.get("/hours").text
    for plan, day, p_go in ((1, date(2026, 4, 1), 0.78), (2, date(2026, 4, 22), 0.72)):
        starts = datetime(2026, 4, day.day, 12, tzinfo=UTC)
        told = Expectation("S1", "J1", "Blue", (day,), starts, True, p_go, 0.9, 1.0, 1.0)
        asked_at = datetime(2026, 4, day.day, 1, tzinfo=UTC)
        with worked.write() as connection:
            add_records(connection, [expectation_record(told, plan, asked_at)], "meg", AT)
    enter(worked, "hours_worked", LATE, "bob", AT)  # the page looks again with a new version
    page = client.get("/hours").text
    assert (
        "Told a chance of 20 to 30% of losing a visit to weather (25% on average): 1 of 2 were"
        " lost (50%), too few to conclude." in page
    )
    rows = list(csv.DictReader(io.StringIO(client.get("/hours/export/planning.csv").text)))
    go = [row for row in rows if row["chance_of"] == "go"]
    assert [(row["from"], row["cases"], row["happened"]) for row in go] == [("0.7", "2", "1")]
