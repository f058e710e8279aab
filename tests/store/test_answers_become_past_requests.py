"""What is written down of a requirement feeds the record that chances are learned from."""

from datetime import date
from pathlib import Path

import pytest
from form_boards import OFFICE, client_of
from form_pages import done, opened
from store_cases import AT, now_in, tables_into

from crewplan.model.waiting_rows import LeadTime
from crewplan.readiness.history import History
from crewplan.store.asked_before import keep_request
from crewplan.store.connecting import Store

J2 = "/enter/state?job=J2&kind=permit"
"""In tests/faults/_base J1's permit is granted; J2's is asked for since 10 April. Neither job has
an authority."""
PAST = "kind,asked_on,authority,granted_on\npermit,2026-04-10,,\npermit,2026-04-01,,2026-04-20\n"
ASKED = date(2026, 4, 10)


@pytest.fixture
def kept(branch_store: Store, tmp_path: Path) -> Store:
    """A database whose tables have both requests among the past ones."""
    tables_into(branch_store, tmp_path / "kept", lead_times=PAST)
    return branch_store


def requests(store: Store) -> list[tuple[date, date | None, date | None]]:
    rows: tuple[LeadTime, ...] = now_in(store).rows["lead_times"]
    return [(row.asked_on, row.granted_on, row.refused_on) for row in rows]


def enter(source: str, address: str, **values: str) -> None:
    client = client_of(source, OFFICE)
    done(client, address, opened(client, address), **values)


def test_a_grant_answers_the_request_and_the_next_chance_knows_it(kept: Store, source: str) -> None:
    enter(source, J2, state="granted", granted_on="2026-04-30")
    assert requests(kept) == [
        (ASKED, date(2026, 4, 30), None), (date(2026, 4, 1), date(2026, 4, 20), None),
    ]  # fmt: skip
    waits = History(now_in(kept).rows["lead_times"], date(2026, 5, 3)).waits("permit", "")
    assert waits is not None
    # by hand: waits of 19 and 20 days, both over
    assert waits.pool.at([18.0, 19.0, 20.0]).tolist() == [1.0, 0.5, 0.0]


def test_a_wrong_day_is_corrected_in_the_record_too(kept: Store, source: str) -> None:
    enter(source, J2, state="granted", granted_on="2026-04-30")
    enter(source, J2, state="granted", granted_on="2026-04-29")
    assert requests(kept)[0] == (ASKED, date(2026, 4, 29), None)
    enter(source, J2, state="asked", asked_on="2026-04-12", granted_on="")
    assert requests(kept)[0] == (date(2026, 4, 12), None, None)


def test_a_new_request_is_added_and_taken_back_where_it_was_never_made(
    kept: Store, source: str
) -> None:
    address = "/enter/state?job=J1&kind=deposit"
    enter(source, address, state="asked", asked_on="2026-05-01")
    assert requests(kept)[-1] == (date(2026, 5, 1), None, None)
    enter(source, address, state="open", asked_on="")
    assert len(requests(kept)) == 2


def test_what_an_import_brought_is_not_taken_back(kept: Store, source: str) -> None:
    enter(source, J2, state="open", asked_on="")
    assert len(requests(kept)) == 2


def test_a_refusal_keeps_the_day_of_its_first_word(kept: Store) -> None:
    """The request stays at risk for ever, as in `lead_times`."""
    asked = {"kind": "permit", "state": "asked", "asked_on": "2026-04-10"}
    refused = asked | {"state": "refused"}
    for former, day in ((asked, 5), (refused, 9)):
        with kept.write() as connection:
            keep_request(connection, former, refused, "", date(2026, 5, day), "olga", AT)
    assert requests(kept)[0] == (ASKED, None, date(2026, 5, 5))


@pytest.mark.parametrize("state", ["not_needed", "open"])
def test_what_nobody_waits_for_is_no_request(kept: Store, state: str) -> None:
    new = {"kind": "survey", "state": state, "asked_on": "2026-04-10"}
    with kept.write() as connection:
        keep_request(connection, {}, new, "", date(2026, 5, 5), "olga", AT)
    assert len(requests(kept)) == 2


def test_a_request_that_is_in_the_record_already_is_not_added_again(kept: Store) -> None:
    granted = {
        "kind": "permit", "state": "granted", "asked_on": "2026-04-01", "granted_on": "2026-04-20",
    }  # fmt: skip
    with kept.write() as connection:
        keep_request(connection, {}, granted, "", date(2026, 5, 5), "olga", AT)
    assert len(requests(kept)) == 2
