"""What a person at a terminal does with accounts and links, and when a board is not shared."""

import io
import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from argon2 import PasswordHasher
from store_cases import folder_with

from crewplan.cli import main
from crewplan.store import passwords
from crewplan.store.connecting import open_store
from crewplan.store.links import link_by_token
from crewplan.store.place import place_of

GOOD = "seven wet shingles on Tuesday"


@dataclass(frozen=True, slots=True)
class Done:
    """What a command left behind."""

    returncode: int
    stdout: str
    stderr: str


Run = Callable[..., Done]


@pytest.fixture
def crewplan(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs a command in this process; `typed` is what stands on its stdin."""
    light = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    monkeypatch.setattr(passwords, "_HASHER", light)

    def run(*words: str | Path, typed: str = "") -> Done:
        monkeypatch.setattr(sys, "argv", ["crewplan", *map(str, words)])
        monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
        with pytest.raises(SystemExit) as ended:
            main()
        said = capsys.readouterr()
        assert "Traceback" not in said.out + said.err
        assert GOOD not in said.out + said.err
        code: Any = ended.value.code
        return Done(code or 0, said.out, said.err)

    return run


@pytest.fixture
def folder(tmp_path: Path, crewplan: Run) -> Path:
    """The small branch, imported."""
    made = folder_with(tmp_path / "branch")
    assert crewplan("import", made, "--accept").returncode == 0
    return made


def add(crewplan: Run, folder: Path, name: str, *more: str, typed: str = f"{GOOD}\n") -> Done:
    return crewplan("account", "add", folder, name, *more, typed=typed)


def test_accounts_are_opened_changed_listed_and_closed(crewplan: Run, folder: Path) -> None:
    assert add(crewplan, folder, "Ada", "--role", "manager", "--by", "root").returncode == 0
    assert add(crewplan, folder, "Lee", "--role", "lead", "--crew", "Blue").returncode == 0
    changed = crewplan("account", "role", folder, "lee", "--role", "office")
    assert (changed.returncode, changed.stdout) == (0, "lee is office.\n")
    new = crewplan("account", "password", folder, "Ada", typed="a ladder is no place for jokes\n")
    assert "sessions have ended" in new.stdout
    assert crewplan("account", "close", folder, "Lee").returncode == 0
    rows = json.loads(crewplan("account", "list", folder, "--format", "json").stdout)
    assert [(row["name"], row["role"], bool(row["closed_at"])) for row in rows] == [
        ("Ada", "manager", False),
        ("Lee", "office", True),
    ]
    told = crewplan("account", "list", folder, "--events", "--format", "csv").stdout.splitlines()
    assert told[0] == "at,by,about,what,address"
    assert [line.split(",")[3] for line in told[1:]] == [
        "account opened: manager", "account opened: lead of Blue", "role is office",
        "password changed", "account closed",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("more", "typed", "code", "why"),
    [
        (("--role", "manager"), "short\n", 1, "at least 12"),
        (("--role", "manager"), "", 1, "at least 12"),
        (("--role", "king"), f"{GOOD}\n", 64, "king"),
        (("--role", "lead"), f"{GOOD}\n", 1, "--crew"),
        (("--role", "lead", "--crew", "Mauve"), f"{GOOD}\n", 64, "no crew of this branch"),
    ],
)
def test_an_account_that_cannot_be_opened_is_told_in_one_line(
    crewplan: Run, folder: Path, more: tuple[str, ...], typed: str, code: int, why: str
) -> None:
    done = add(crewplan, folder, "Ada", *more, typed=typed)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (code, "", 1)
    assert why in done.stderr


def test_no_command_takes_a_password_as_a_word_of_its_call(crewplan: Run, folder: Path) -> None:
    for words in (("--password", "x"), ("x",)):
        done = add(crewplan, folder, "Ada", "--role", "manager", *words)
        assert done.returncode == 64


def test_a_link_is_printed_once_listed_without_itself_and_revoked(
    crewplan: Run, folder: Path
) -> None:
    from datetime import UTC, datetime

    made = crewplan("link", "make", folder, "--crew", "Blue", "--board", "https://b.example/")
    address, _, token = made.stdout.strip().partition("/link/")
    assert address == "https://b.example"
    store = open_store(place_of(folder))
    assert link_by_token(store, token, datetime.now(UTC)) is not None
    listed = crewplan("link", "list", folder).stdout
    assert "Blue" in listed
    assert "open" in listed
    assert token not in listed
    revoked = crewplan("link", "revoke", folder, "1")
    assert revoked.stdout == "Link 1 to Blue's day opens nothing any more.\n"
    assert link_by_token(store, token, datetime.now(UTC)) is None
    assert crewplan("link", "revoke", folder, "1").returncode == 1
    assert crewplan("link", "make", folder, "--crew", "Mauve").returncode == 64
    assert json.loads(crewplan("link", "list", folder, "--format", "json").stdout)[0]["state"] == (
        "revoked"
    )


@pytest.mark.parametrize(
    ("words", "code", "why"),
    [
        (("--share",), 1, "nobody has an account yet"),
        (("--host", "0.0.0.0"), 64, "go with --share"),
        (("--behind-tls",), 64, "go with --share"),
        (("--share", "--behind-tls"), 64, "needs --name"),
        (("--share", "--host", "0.0.0.0"), 64, "needs --name"),
    ],
)
def test_a_board_is_not_shared_half(
    crewplan: Run, folder: Path, words: tuple[str, ...], code: int, why: str
) -> None:
    done = crewplan("board", folder, *words)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (code, "", 1)
    assert why in done.stderr


def test_a_folder_without_a_database_is_not_shared(crewplan: Run, tmp_path: Path) -> None:
    done = crewplan("board", folder_with(tmp_path / "plain"), "--share")
    assert (done.returncode, "needs a database" in done.stderr) == (64, True)
    assert add(crewplan, tmp_path / "plain", "Ada", "--role", "manager").returncode == 3
