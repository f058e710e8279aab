"""The commands `account` and `link`: who may open a shared board, and links to a crew's day."""

import sys
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from crewplan.command_parts import (
    By,
    Folder,
    Format,
    Shape,
    UsageFault,
    person,
    print_json,
    say,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from crewplan.store.connecting import Store

account = typer.Typer(no_args_is_help=True, help="Who may open a shared board, and as what.")
link = typer.Typer(
    no_args_is_help=True, help="Links that open one crew's day or calendar, and only that."
)


class RoleChoice(StrEnum):
    """What somebody is."""

    manager = "manager"
    lead = "lead"
    owner = "owner"
    office = "office"


Name = Annotated[str, typer.Argument(metavar="NAME", help="As the history names them.")]
RoleOption = Annotated[RoleChoice, typer.Option("--role", help="What they are.")]
Crews = Annotated[
    list[str] | None,
    typer.Option("--crew", metavar="CREW", help="A crew that a lead leads; once for each."),
]


def _store(folder: str) -> "Store":
    from crewplan.store.connecting import open_store
    from crewplan.store.place import place_of

    return open_store(place_of(folder))


def _known_crews(store: "Store", crews: "Sequence[str]") -> tuple[str, ...]:
    from crewplan.store.rows import rows_at, word_of

    with store.read() as connection:
        rows = rows_at(connection, None, "crews").get("crews", [])
    known = {word_of("crews", row.cells, "crew") for row in rows}
    for crew in crews:
        if crew not in known:
            raise UsageFault(f"{crew!r} is no crew of this branch; the table crews lists them")
    return tuple(crews)


def _branch_name(store: "Store") -> str:
    from crewplan.store.branch_name import branch_name

    with store.read() as connection:
        return branch_name(connection)


def _new_password() -> str:
    """Asked for twice at a terminal; else the first line of stdin. Never a word of the call."""
    if sys.stdin.isatty():
        words: str = typer.prompt("Password", hide_input=True, confirmation_prompt=True)
        return words
    return sys.stdin.readline().rstrip("\r\n")


@account.command()
def add(folder: Folder, name: Name, role: RoleOption, crew: Crews = None, by: By = None) -> None:
    """Open an account; the password is asked for, or is the first line of stdin."""
    from datetime import UTC, datetime

    from crewplan.store.accounts import add_account

    store = _store(folder)
    crews = _known_crews(store, crew or ())
    add_account(
        store,
        name,
        role.value,
        crews,
        _new_password(),
        person(by),
        datetime.now(UTC),
        _branch_name(store),
    )
    say(f"{name} can log in.")


@account.command("list")
def list_accounts(
    folder: Folder,
    events: Annotated[
        bool, typer.Option("--events", help="All that happened, log-ins too, in place of names.")
    ] = False,
    shape: Shape = Format.table,
) -> None:
    """List all accounts, closed ones too."""
    from crewplan.publishing.csv_text import csv_text
    from crewplan.store.account_text import (
        ACCOUNT_COLUMNS,
        EVENT_COLUMNS,
        account_cells,
        event_cells,
        plain_lines,
    )

    with _store(folder).read() as connection:
        columns = EVENT_COLUMNS if events else ACCOUNT_COLUMNS
        rows = event_cells(connection) if events else account_cells(connection)
    if shape is Format.json:
        print_json([dict(zip(columns, row, strict=True)) for row in rows])
    elif shape is Format.csv:
        say(csv_text(columns, rows))
    else:
        say(plain_lines(columns, rows) if rows else "There are none yet.")


@account.command()
def role(folder: Folder, name: Name, role: RoleOption, crew: Crews = None, by: By = None) -> None:
    """Give somebody another role, or a lead other crews; it counts from the next click on."""
    from datetime import UTC, datetime

    from crewplan.store.accounts import set_role

    store = _store(folder)
    set_role(
        store,
        name,
        role.value,
        _known_crews(store, crew or ()),
        person(by),
        datetime.now(UTC),
    )
    say(f"{name} is {role.value}.")


@account.command()
def password(folder: Folder, name: Name, by: By = None) -> None:
    """Set another password, which ends all sessions; it is asked for, or read from stdin."""
    from datetime import UTC, datetime

    from crewplan.store.accounts import set_password

    store = _store(folder)
    set_password(
        store,
        name,
        _new_password(),
        person(by),
        datetime.now(UTC),
        branch=_branch_name(store),
    )
    say(f"{name} has another password; all their sessions have ended.")


@account.command()
def close(folder: Folder, name: Name, by: By = None) -> None:
    """Close an account for good: its sessions end at once; what it wrote stays."""
    from datetime import UTC, datetime

    from crewplan.store.accounts import close_account

    close_account(_store(folder), name, person(by), datetime.now(UTC))
    say(f"{name} cannot log in any more.")


@link.command()
def make(
    folder: Folder,
    crew: Annotated[str, typer.Option("--crew", metavar="CREW", help="Whose day it opens.")],
    days: Annotated[
        int | None,
        typer.Option("--days", min=1, max=366, help="How long it lasts [14; a calendar 366]."),
    ] = None,
    calendar: Annotated[
        bool, typer.Option("--calendar", help="To the crew's calendar, for programs that read it.")
    ] = False,
    board: Annotated[
        str, typer.Option("--board", metavar="URL", help="Where the board is [its path only].")
    ] = "",
    by: By = None,
) -> None:
    """Make a link to a crew's day, or to its calendar, and print it: it is shown only now."""
    from datetime import UTC, datetime, timedelta

    from crewplan.store.links import make_link

    store = _store(folder)
    (known,) = _known_crews(store, [crew])
    purpose, lasts = ("calendar", 366) if calendar else ("day", 14)
    span = timedelta(days=days or lasts)
    _, token = make_link(store, purpose, known, span, person(by), datetime.now(UTC))
    say(f"{board.rstrip('/')}/link/{token}" + ("/crew.ics" if calendar else ""))


@link.command("list")
def list_links(folder: Folder, shape: Shape = Format.table) -> None:
    """List all links, those that ran out or were revoked too; never the links themselves."""
    from datetime import UTC, datetime

    from crewplan.publishing.csv_text import csv_text
    from crewplan.store.account_text import LINK_COLUMNS, link_cells, plain_lines

    with _store(folder).read() as connection:
        rows = link_cells(connection, datetime.now(UTC))
    if shape is Format.json:
        print_json([dict(zip(LINK_COLUMNS, row, strict=True)) for row in rows])
    elif shape is Format.csv:
        say(csv_text(LINK_COLUMNS, rows))
    else:
        say(plain_lines(LINK_COLUMNS, rows) if rows else "There are none yet.")


@link.command()
def revoke(
    folder: Folder,
    number: Annotated[int, typer.Argument(metavar="NUMBER", help="As crewplan link list has it.")],
    by: By = None,
) -> None:
    """Make a link open nothing any more, at once."""
    from datetime import UTC, datetime

    from crewplan.store.links import revoke_link

    revoked = revoke_link(_store(folder), number, person(by), datetime.now(UTC))
    say(f"Link {number} to {revoked.crew}'s {revoked.purpose} opens nothing any more.")


def register(app: typer.Typer) -> None:
    """Add the commands to the program's."""
    app.add_typer(account, name="account")
    app.add_typer(link, name="link")
