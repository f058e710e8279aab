"""Databases for the tests: a file, and a PostgreSQL server of the tests' own."""

import os
import shutil
import socket
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from store_cases import Done, tables_into

from crewplan.cli import main
from crewplan.store.connecting import Store, open_store
from crewplan.store.place import place_of

_FORCED = os.environ.get("CREWPLAN_POSTGRES") == "1"
_KINDS = ("sqlite", "postgresql")


def _binaries() -> Path | None:
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    if found:
        return found[-1].parent
    on_path = shutil.which("initdb")
    return Path(on_path).parent if on_path else None


def _as_postgres(*words: str) -> None:
    """The server refuses to run as root."""
    before = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    subprocess.run([*before, *words], check=True, capture_output=True, timeout=60)


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """Address of a server on a free port of this machine, without its database's name."""
    binaries = _binaries()
    if binaries is None:
        assert not _FORCED, "CREWPLAN_POSTGRES=1, and no PostgreSQL server is installed"
        pytest.skip("no PostgreSQL server on this machine")
    # not under pytest's own folder: that one is closed to the user postgres
    home = Path(tempfile.mkdtemp(prefix="crewplan-postgres-"))
    if os.geteuid() == 0:
        shutil.chown(home, "postgres")
    data = home / "data"
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    _as_postgres(str(binaries / "initdb"), "-D", str(data), "-A", "trust", "-U", "crewplan")
    # the machine's disk is not what is tested here: the server itself is never killed
    options = (
        f"-c fsync=off -p {port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={data}"
    )
    control = str(binaries / "pg_ctl")
    log = str(data / "log")
    _as_postgres(control, "-D", str(data), "-w", "-l", log, "-o", options, "start")
    try:
        yield f"postgresql://crewplan@127.0.0.1:{port}"
    finally:
        _as_postgres(control, "-D", str(data), "-m", "immediate", "stop")
        shutil.rmtree(home, ignore_errors=True)


def _fresh_database(server: str) -> str:
    import psycopg

    name = f"t{uuid4().hex}"
    with psycopg.connect(f"{server}/postgres", autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')
    return f"{server}/{name}"


@pytest.fixture(params=_KINDS)
def new_source(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Callable[[], str]:
    """Makes sources without a database in them: folders, or addresses on the server."""
    if request.param == "sqlite":
        return lambda: str(tmp_path_factory.mktemp("branch"))
    server = request.getfixturevalue("server")
    return lambda: _fresh_database(server)


@pytest.fixture
def source(new_source: Callable[[], str]) -> str:
    """One source without a database in it."""
    return new_source()


@pytest.fixture
def store(source: str) -> Store:
    """An empty database."""
    return open_store(place_of(source), create=True)


@pytest.fixture
def branch_store(store: Store, tmp_path: Path) -> Store:
    """A database with the small branch of tests/faults/_base in it, as version 1."""
    tables_into(store, tmp_path / "first")
    return store


@pytest.fixture
def crewplan(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., Done]:
    """Runs a command in this process, without a terminal: starting Python each time is slow."""

    def run(*words: str | Path) -> Done:
        monkeypatch.setattr(sys, "argv", ["crewplan", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            main()
        said = capsys.readouterr()
        assert "Traceback" not in said.out + said.err
        return Done(ended.value.code or 0, said.out, said.err)  # type: ignore[arg-type]

    return run
