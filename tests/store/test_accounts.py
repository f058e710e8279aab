"""Accounts, sessions and links of a shared board: kept safe, told by whom, ended at once."""

import sqlite3
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import Connection, insert, select, text
from sqlalchemy.exc import DBAPIError
from store_cases import tables_into

from crewplan.intake import read_own_tables
from crewplan.model.account import MAY
from crewplan.store import logging_in, passwords
from crewplan.store.account_events import events
from crewplan.store.account_schema import LINKS, LOG_IN_WAITS, SESSIONS
from crewplan.store.account_text import account_cells, link_cells
from crewplan.store.accounts import (
    account_of,
    accounts,
    add_account,
    close_account,
    row_by_name,
    set_password,
    set_role,
)
from crewplan.store.backup import back_up, restore
from crewplan.store.branch_name import branch_name
from crewplan.store.connecting import Store, open_store
from crewplan.store.exporting import files_of
from crewplan.store.faults import NotDone, StoreFault
from crewplan.store.keys import board_key
from crewplan.store.links import PURPOSES, link_by_token, links, make_link, revoke_link
from crewplan.store.logging_in import NOT_KNOWN, log_in
from crewplan.store.place import place_of
from crewplan.store.reading import read_version
from crewplan.store.sessions import (
    AT_ONCE_AT_MOST,
    LASTS_AT_MOST,
    UNUSED_AT_MOST,
    account_by_token,
    end,
    end_others,
    hash_of,
    of_account,
)
from crewplan.store.waits import ACCOUNT, ADDRESS, wait_after

AT = datetime(2026, 5, 3, 18, 0, tzinfo=UTC)
GOOD = "seven wet shingles on Tuesday"
OTHER = "a ladder is no place for jokes"
HOME = "192.0.2.7"


@pytest.fixture
def quick_hashes(monkeypatch: pytest.MonkeyPatch) -> None:
    """A tenth of a second a password adds up where many are tried; one test has the real ones."""
    from argon2 import PasswordHasher

    light = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    monkeypatch.setattr(passwords, "_HASHER", light)
    passwords._nobodys.cache_clear()


@pytest.fixture
def manned(store: Store, quick_hashes: None) -> Iterator[Store]:
    """A database with a manager and a lead."""
    add_account(store, "Ada", "manager", (), GOOD, "root", AT)
    add_account(store, "Lee", "lead", ("Blue",), GOOD, "Ada", AT)
    yield store
    passwords._nobodys.cache_clear()


def logged_in(store: Store, name: str = "Ada", now: datetime = AT, password: str = GOOD) -> str:
    done = log_in(store, name, password, HOME, "a phone", now)
    assert done.refusal == ""
    return done.token


def who(store: Store, token: str, now: datetime = AT) -> str | None:
    account = account_by_token(store, token, now)
    return None if account is None else account.name


def everything_stored(connection: Connection) -> str:
    tables = ("accounts", "sessions", "links", "account_events", "log_in_waits")
    return repr([connection.execute(text(f"SELECT * FROM {name}")).all() for name in tables])


def test_whoever_fails_learns_nothing_of_who_has_an_account(
    manned: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    close_account(manned, "Lee", "Ada", AT)
    work: list[str | None] = []

    def seen(password: str, kept: str | None) -> bool:
        work.append(kept)
        return passwords.matches(password, kept)

    monkeypatch.setattr(logging_in, "matches", seen)
    said = {log_in(manned, name, OTHER, HOME, "", AT).refusal for name in ("Ada", "Lee", "Nobody")}
    assert said == {NOT_KNOWN}
    assert [kept is None for kept in work] == [False, True, True]


def test_an_unknown_name_costs_one_hashing_as_a_known_one_does(
    manned: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    count = 0
    verify = passwords._HASHER.verify

    class Counting:
        def verify(self, kept: str, password: str) -> bool:
            nonlocal count
            count += 1
            return bool(verify(kept, password))

        hash = passwords._HASHER.hash

    monkeypatch.setattr(passwords, "_HASHER", Counting())
    for name in ("Ada", "Nobody"):
        log_in(manned, name, OTHER, HOME, "", AT)
    assert count == 2


def test_guessing_an_account_s_password_is_answered_later_and_later(manned: Store) -> None:
    now, waits = AT, []
    for number in range(ACCOUNT.free + 5):
        # from another address each time, so that only the account's own count is at work
        tried = log_in(manned, "Ada", OTHER, f"198.51.100.{number}", "", now)
        assert tried.refusal == NOT_KNOWN
        waits.append(wait_after(number + 1, ACCOUNT))
        if waits[-1]:
            early = now + waits[-1] - timedelta(seconds=0.5)
            refused = log_in(manned, "ada ", GOOD, "203.0.113.9", "", early)
            assert (refused.token, refused.refusal[:14]) == ("", "Too many tries")
        now += waits[-1]
    assert [wait.total_seconds() for wait in waits] == [0, 0, 0, 0, 1, 2, 4, 8, 16, 32]
    # nobody is locked out for long by somebody else's guessing
    assert wait_after(10**9, ACCOUNT) == timedelta(minutes=5)
    assert logged_in(manned, now=now)


def test_a_right_password_after_the_wait_starts_afresh(manned: Store) -> None:
    for _ in range(ACCOUNT.free):
        log_in(manned, "Ada", OTHER, HOME, "", AT)
    early = log_in(manned, "Ada", GOOD, HOME, "", AT)
    assert (early.token, early.refusal) == ("", "Too many tries: wait 1 second, then try again.")
    assert logged_in(manned, now=AT + timedelta(seconds=1))
    for _ in range(ACCOUNT.free - 1):
        log_in(manned, "Ada", OTHER, HOME, "", AT + timedelta(seconds=1))
    assert logged_in(manned, now=AT + timedelta(seconds=1))


def test_one_address_that_tries_many_names_is_slowed_too(manned: Store) -> None:
    for number in range(ADDRESS.free):
        assert log_in(manned, f"name {number}", OTHER, HOME, "", AT).refusal == NOT_KNOWN
    assert log_in(manned, "Ada", GOOD, HOME, "", AT).refusal.startswith("Too many tries")
    assert log_in(manned, "Ada", GOOD, "192.0.2.8", "", AT).token


def test_what_was_counted_is_forgotten_after_a_day(manned: Store) -> None:
    for _ in range(4):
        log_in(manned, "Ada", OTHER, HOME, "", AT)
    log_in(manned, "Lee", OTHER, "192.0.2.9", "", AT + timedelta(days=1, seconds=1))
    with manned.read() as connection:
        left = connection.execute(select(LOG_IN_WAITS.c.of)).scalars().all()
    assert [words.split()[0] for words in sorted(left)] == ["account", "address"]
    assert "address 192.0.2.9" in left


def test_a_session_ends_unused_and_in_any_case_after_a_week(manned: Store) -> None:
    token = logged_in(manned)
    second = timedelta(seconds=1)
    assert who(manned, token, AT + UNUSED_AT_MOST) == "Ada"
    assert who(manned, token, AT + 2 * UNUSED_AT_MOST) == "Ada"  # it was used in between
    assert who(manned, token, AT + 3 * UNUSED_AT_MOST + second) is None
    token, now = logged_in(manned), AT
    while now < AT + LASTS_AT_MOST:
        assert who(manned, token, now) == "Ada"
        now += timedelta(hours=10)
    assert who(manned, token, AT + LASTS_AT_MOST + second) is None


def test_a_session_s_token_is_random_long_and_nowhere_in_the_database(manned: Store) -> None:
    tokens = {logged_in(manned) for _ in range(5)}
    assert len(tokens) == 5
    assert {len(token) for token in tokens} == {43}  # 32 bytes in base64: 256 bits
    with manned.read() as connection:
        stored = everything_stored(connection)
    assert not any(token in stored for token in tokens)
    assert GOOD not in stored
    assert all(hash_of(token) in stored for token in tokens)
    assert who(manned, "") is None
    assert who(manned, hash_of(next(iter(tokens)))) is None


def test_logging_out_a_new_password_and_closing_end_sessions_at_once(manned: Store) -> None:
    first, second, third = (logged_in(manned) for _ in range(3))
    end(manned, first, "Ada", AT)
    assert [who(manned, token) for token in (first, second, third)] == [None, "Ada", "Ada"]
    set_password(manned, "Ada", OTHER, "Ada", AT, keep=hash_of(second))
    assert [who(manned, token) for token in (second, third)] == ["Ada", None]
    assert log_in(manned, "Ada", GOOD, HOME, "", AT).token == ""
    fourth = logged_in(manned, password=OTHER)
    account = account_by_token(manned, fourth, AT)
    assert account is not None
    end_others(manned, account, hash_of(fourth), AT, "Ada")
    assert [who(manned, token) for token in (second, fourth)] == [None, "Ada"]
    close_account(manned, "Ada", "root", AT)
    assert who(manned, fourth) is None
    assert log_in(manned, "Ada", OTHER, HOME, "", AT).refusal == NOT_KNOWN


def test_the_eleventh_session_of_an_account_ends_the_first(manned: Store) -> None:
    tokens = [
        logged_in(manned, now=AT + timedelta(minutes=number))
        for number in range(AT_ONCE_AT_MOST + 1)
    ]
    now = AT + timedelta(hours=1)
    assert [who(manned, token, now) for token in tokens] == [None] + ["Ada"] * AT_ONCE_AT_MOST
    with manned.read() as connection:
        row = row_by_name(connection, "Ada")
        assert row is not None
        assert len(of_account(connection, account_of(row).id)) == AT_ONCE_AT_MOST


def test_another_role_counts_from_the_next_request_on(manned: Store) -> None:
    token = logged_in(manned, "Lee")
    before = account_by_token(manned, token, AT)
    assert before is not None
    assert before.actor.may("see tomorrow", "Blue")
    assert not before.actor.may("see tomorrow", "Red")
    set_role(manned, "Lee", "lead", ("Red",), "Ada", AT)
    after = account_by_token(manned, token, AT)
    assert after is not None
    assert after.actor.may("see tomorrow", "Red")
    assert not after.actor.may("see tomorrow", "Blue")


@pytest.mark.parametrize(
    ("name", "role", "crews", "why"),
    [
        ("ADA ", "office", (), "already"),
        ("", "office", (), "letters"),
        ("a\nb", "office", (), None),
        ("a\x1b[2J", "office", (), "letters"),
        ("Kim", "king", (), "no role"),
        ("Kim", "lead", (), "name them with --crew"),
        ("Kim", "owner", ("Blue",), "is for a lead"),
    ],
)
def test_an_account_that_makes_no_sense_is_not_opened(
    manned: Store, name: str, role: str, crews: tuple[str, ...], why: str | None
) -> None:
    if why is None:  # blanks of any kind become one
        add_account(manned, name, role, crews, OTHER, "x", AT)
        with manned.read() as connection:
            assert {account.name for account in accounts(connection)} == {"Ada", "Lee", "a b"}
        return
    with pytest.raises(NotDone, match=why):
        add_account(manned, name, role, crews, OTHER, "x", AT)


def test_a_closed_account_s_name_is_never_somebody_else_s(manned: Store) -> None:
    close_account(manned, "Lee", "Ada", AT)
    with pytest.raises(NotDone, match="already"):
        add_account(manned, "lee", "office", (), OTHER, "Ada", AT)
    for act in (lambda: close_account(manned, "Lee", "Ada", AT),
                lambda: set_role(manned, "Lee", "owner", (), "Ada", AT),
                lambda: set_password(manned, "Lee", OTHER, "Ada", AT)):  # fmt: skip
        with pytest.raises(NotDone, match="no open account"):
            act()


def test_what_happens_to_accounts_is_told_with_who_when_and_from_where(manned: Store) -> None:
    token = logged_in(manned)
    log_in(manned, "Lee", OTHER, "192.0.2.8", "", AT)
    log_in(manned, "my password by mistake", OTHER, "192.0.2.8", "", AT)
    end(manned, token, "Ada", AT, HOME)
    set_role(manned, "Lee", "owner", (), "Ada", AT)
    close_account(manned, "Lee", "Ada", AT)
    with manned.read() as connection:
        told = [(e.by, e.about, e.what, e.address) for e in events(connection)]
        assert {e.at for e in events(connection)} == {"2026-05-03T18:00:00.000000+00:00"}
        assert "my password" not in everything_stored(connection)
        shown = account_cells(connection)
    assert told == [
        ("root", "Ada", "account opened: manager", ""),
        ("Ada", "Lee", "account opened: lead of Blue", ""),
        ("Ada", "Ada", "logged in", HOME),
        ("Lee", "Lee", "log-in failed", "192.0.2.8"),
        ("nobody known", "nobody known", "log-in failed", "192.0.2.8"),
        ("Ada", "Ada", "logged out", HOME),
        ("Ada", "Lee", "role is owner", ""),
        ("Ada", "Lee", "account closed", ""),
    ]
    assert [row[:3] for row in shown] == [("Ada", "manager", "all"), ("Lee", "owner", "all")]


@pytest.mark.parametrize(
    "change", ["UPDATE account_events SET what = ''", "DELETE FROM account_events"]
)
def test_what_happened_is_never_altered(manned: Store, change: str) -> None:
    with pytest.raises(StoreFault) as told, manned.write() as connection:
        connection.execute(text(change))
    assert isinstance(told.value.__cause__, DBAPIError)
    with manned.read() as connection:
        assert len(events(connection)) == 2


def test_a_link_opens_one_crew_s_day_until_it_runs_out(manned: Store) -> None:
    link, token = make_link(manned, "day", "Blue", timedelta(days=3), "Ada", AT)
    found = link_by_token(manned, token, AT + timedelta(days=3) - timedelta(seconds=1))
    assert found == link
    assert found is not None
    acts = {act for act in MAY if found.actor.may(act)}
    assert acts == {PURPOSES["day"]}
    assert found.actor.crews == {"Blue"}
    assert link_by_token(manned, token, AT + timedelta(days=3)) is None


def test_a_revoked_link_opens_nothing_at_once(manned: Store) -> None:
    link, token = make_link(manned, "day", "Blue", timedelta(days=3), "Ada", AT)
    revoke_link(manned, link.number, "Ada", AT)
    assert link_by_token(manned, token, AT) is None
    with pytest.raises(NotDone, match="no link 1"):
        revoke_link(manned, link.number, "Ada", AT)
    with manned.read() as connection:
        assert [row[-1] for row in link_cells(connection, AT)] == ["revoked"]
        assert [e.what for e in events(connection)][-2:] == ["made for Blue's day", "revoked"]
        assert token not in everything_stored(connection)


def test_a_link_that_was_made_up_or_altered_opens_nothing(manned: Store) -> None:
    _, token = make_link(manned, "day", "Blue", timedelta(days=3), "Ada", AT)
    number, _, signature = token.partition(".")
    for other in ("", ".", number, f"{number}.", f"{number}.{signature[:-2]}AA", f"x{token}", "é"):
        assert link_by_token(manned, other, AT) is None
    # whoever could write into the database, and not sign, could not make one either
    forged = f"{number[:-1]}_.{signature}"
    with manned.write() as connection:
        row = connection.execute(select(LINKS)).mappings().one()
        values = {name: row[name] for name in row if name not in ("number", "token_hash")}
        connection.execute(insert(LINKS), values | {"token_hash": hash_of(forged)})
    assert link_by_token(manned, forged, AT) is None


def test_a_link_lasts_a_year_at_most_and_is_for_something_that_there_is(manned: Store) -> None:
    for lasts in (timedelta(0), timedelta(days=367)):
        with pytest.raises(NotDone, match="1 to 366 days"):
            make_link(manned, "day", "Blue", lasts, "Ada", AT)
    with pytest.raises(NotDone, match="for day"):
        make_link(manned, "margin", "Blue", timedelta(days=1), "Ada", AT)
    with manned.read() as connection:
        assert links(connection) == []


def test_the_key_is_random_and_one_for_a_database(
    manned: Store, new_source: Callable[[], str]
) -> None:
    again = open_store(manned.place)
    other = open_store(place_of(new_source()), create=True)
    assert len(board_key(manned)) == 32
    assert board_key(manned) == board_key(again) != board_key(other)


def test_a_backup_keeps_accounts_and_links_and_no_open_session(
    branch_store: Store, quick_hashes: None, source: str, new_source: Callable[[], str],
    tmp_path: Path,
) -> None:  # fmt: skip
    add_account(branch_store, "Ada", "manager", (), GOOD, "root", AT)
    _, token = make_link(branch_store, "day", "Blue", timedelta(days=3), "Ada", AT)
    session = logged_in(branch_store)
    log_in(branch_store, "Ada", OTHER, HOME, "", AT)
    file = tmp_path / "kept.db"
    back_up(place_of(source), file)
    with sqlite3.connect(file) as copy:
        for table in ("sessions", "log_in_waits"):
            assert copy.execute(f"SELECT count(*) FROM {table}").fetchone() == (0,)
    copy.close()
    assert hash_of(session).encode() not in file.read_bytes()
    assert who(branch_store, session) == "Ada"  # the one that was copied goes on
    restored = open_store(restore(file, new_source()))
    assert who(restored, session) is None
    assert logged_in(restored)
    assert link_by_token(restored, token, AT) is not None
    add_account(restored, "Bea", "office", (), OTHER, "Ada", AT)  # numbering goes on
    make_link(restored, "day", "Blue", timedelta(days=3), "Bea", AT)
    # restoring over a running board signs everybody out
    restore(file, source, replace=True)
    assert who(branch_store, session) is None


def test_accounts_are_in_no_export(branch_store: Store, quick_hashes: None, source: str) -> None:
    add_account(branch_store, "Zebedee", "manager", (), GOOD, "root", AT)
    make_link(branch_store, "day", "Blue", timedelta(days=3), "Zebedee", AT)
    files = files_of(read_version(source, None))
    assert "Zebedee" not in "".join(files.values())
    assert "argon2" not in "".join(files.values())
    assert not {"accounts.csv", "sessions.csv", "links.csv"} & files.keys()


def test_the_branch_s_name_is_known_without_reading_its_tables(
    store: Store, tmp_path: Path
) -> None:
    with store.read() as connection:
        assert branch_name(connection) == ""
    tables_into(store, tmp_path / "first")
    with store.read() as connection:
        assert branch_name(connection) == read_own_tables(tmp_path / "first").settings.name
        assert connection.execute(select(SESSIONS)).all() == []
