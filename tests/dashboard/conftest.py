"""A shared board over a marked branch, with an account a role, for tests of who gets what."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from shared_board import Shared, share
from shared_cases import LEADS, LINKED, NAMES, PASSWORD

from crewplan.model.account import ROLES
from crewplan.store import passwords
from crewplan.store.accounts import account_of, add_account, close_account, row_by_name
from crewplan.store.connecting import open_store
from crewplan.store.links import make_link, revoke_link
from crewplan.store.place import place_of
from crewplan.store.sessions import begin


@contextmanager
def _light_hashes() -> Iterator[None]:
    """Hashes that cost little: what they cost is tested with the store."""
    with pytest.MonkeyPatch.context() as patch:
        light = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
        patch.setattr(passwords, "_HASHER", light)
        passwords._nobodys.cache_clear()
        yield
    passwords._nobodys.cache_clear()


@pytest.fixture(scope="module", autouse=True)
def light_hashes() -> Iterator[None]:
    """So in all tests of the board, and in no others."""
    with _light_hashes():
        yield


@pytest.fixture(scope="session")
def manned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a database in which each role has an account."""
    folder = tmp_path_factory.mktemp("shared")
    store = open_store(place_of(folder), create=True)
    with _light_hashes():
        for role in ROLES:
            crews = LEADS if role == "lead" else ()
            add_account(store, NAMES[role], role, crews, PASSWORD, "root", datetime.now(UTC))
    return folder


@pytest.fixture(scope="module")
def shared(manned: Path) -> Shared:
    """The board of this folder, with links."""
    board = share(open_store(place_of(manned)))
    day = timedelta(days=1)
    for state, since in (("open", 0), ("run out", 2), ("revoked", 0)):
        link, token = make_link(board.store, "day", LINKED, day, "Mo", board.now - since * day)
        board.links[state] = token
        if state == "revoked":
            revoke_link(board.store, link.number, "Mo", board.now)
    _strangers(board)
    return board


def _strangers(board: Shared) -> None:
    """Sessions of somebody who has left, of long ago, and of nobody."""
    add_account(board.store, "Gone", "manager", (), PASSWORD, "Mo", board.now)
    with board.store.write() as connection:
        gone = row_by_name(connection, "Gone")
        manager = row_by_name(connection, NAMES["manager"])
        assert gone is not None
        assert manager is not None
        closed = begin(connection, account_of(gone), "", "", board.now)
        old = begin(connection, account_of(manager), "", "", board.now - timedelta(hours=15))
    close_account(board.store, "Gone", "Mo", board.now)
    board.strangers = {"closed": closed, "expired": old, "made up": "x" * 43}
