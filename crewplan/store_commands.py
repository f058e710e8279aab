"""Commands of the database: import, export, history, backup, restore."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from crewplan.command_parts import (
    EXIT_NO,
    By,
    Folder,
    Format,
    OutsideFault,
    Shape,
    complain,
    person,
    print_json,
    progress,
    say,
    warn,
)
from crewplan.running.all_stays import all_of_it_stays

if TYPE_CHECKING:
    from crewplan.store.connecting import Store
    from crewplan.store.importing import Draft

_ATTEMPTS = 20
"""How often an accepted import is looked at again because somebody else wrote in between."""


@all_of_it_stays()
def import_tables(
    folder: Annotated[Path, typer.Argument(help="A folder of tables, or its workbook.")],
    to: Annotated[
        str | None,
        typer.Option("--to", metavar="WHERE", help="Folder or address of the database [FOLDER]."),
    ] = None,
    by: By = None,
    accept: Annotated[bool, typer.Option("--accept", help="Do not ask.")] = False,
    drop: Annotated[
        list[str] | None,
        typer.Option(
            "--drop", metavar="STAGE", help="Let this stage go, with hours, progress and plan."
        ),
    ] = None,
) -> None:
    """Bring a folder's tables into the database as a new version."""
    from crewplan.intake import read_own_tables
    from crewplan.store.connecting import open_store
    from crewplan.store.faults import NotDone
    from crewplan.store.import_text import change_lines, stuck_lines
    from crewplan.store.importing import look_at
    from crewplan.store.place import place_of

    with progress("Reading the tables ..."):
        own = read_own_tables(folder)
    place = place_of(to or folder)
    is_new = place.file is not None and not place.file.exists()
    if is_new and not accept and not sys.stdin.isatty():
        rows = sum(map(len, own.rows.values()))
        say(f"The first import: {rows} rows beside the weather.")
        _refuse_unasked()
    store = open_store(place, create=True)

    def look() -> "Draft":
        with store.read() as connection:
            return look_at(connection, own, drop or ())

    with progress("Comparing with what stands ..."):
        draft = look()
    warn(draft.warnings)
    if draft.stuck:
        raise NotDone("; ".join(stuck_lines(draft)))
    if not draft.is_change:
        number = draft.former.number if draft.former else 0
        say(f"Nothing has changed since version {number}.")
        return
    for line in change_lines(draft):
        say(line)
    if not accept:
        if not sys.stdin.isatty():
            _refuse_unasked()
        if not typer.confirm("Take this in?"):
            raise typer.Exit(EXIT_NO)
    with progress("Writing ..."):
        version = _accept(store, look, draft, person(by), insist=accept)
    say(f"Version {version}.")


def _refuse_unasked() -> None:
    complain("Nothing was written; --accept takes this in.")
    raise typer.Exit(EXIT_NO)


def _accept(
    store: "Store", look: "Callable[[], Draft]", draft: "Draft", by: str, *, insist: bool
) -> int:
    """Write the draft; where somebody wrote since, look again if nobody has to be asked."""
    from datetime import UTC, datetime

    from crewplan.store.faults import ImportMoved, NotDone
    from crewplan.store.import_text import stuck_lines
    from crewplan.store.importing import accept as write

    for _ in range(_ATTEMPTS if insist else 1):
        try:
            with store.write() as connection:
                return write(connection, draft, by, datetime.now(UTC))
        except ImportMoved:
            draft = look()
            if draft.stuck:
                raise NotDone("; ".join(stuck_lines(draft))) from None
    raise NotDone("somebody has written meanwhile; nothing was imported: look again")


def export(
    folder: Folder,
    out: Annotated[Path, typer.Option("--out", metavar="DIR", help="A new or empty folder.")],
    version: Annotated[
        int | None, typer.Option("--version", metavar="N", help="An older version [the newest].")
    ] = None,
) -> None:
    """Write all tables as CSV, as import reads them."""
    from crewplan.store.exporting import files_of, write_files
    from crewplan.store.reading import read_version

    with progress("Writing the tables ..."):
        files = files_of(read_version(folder, version))
        try:
            write_files(files, out)
        except OSError as error:
            raise OutsideFault(f"{out} could not be written ({error.strerror})") from None
    say(f"{len(files)} files in {out}.")


def history(
    folder: Folder,
    stage: Annotated[str, typer.Argument(help="A stage that is, or was, in the branch.")],
    shape: Shape = Format.table,
) -> None:
    """Tell all that happened to a stage, oldest first."""
    from crewplan.publishing.csv_text import csv_text
    from crewplan.store.connecting import open_store
    from crewplan.store.history import EVENT_COLUMNS, event_cells, history_json, history_text
    from crewplan.store.history import history as events_of
    from crewplan.store.place import place_of

    with open_store(place_of(folder)).read() as connection:
        events = events_of(connection, stage)
    if shape is Format.json:
        print_json(history_json(events))
    elif shape is Format.csv:
        say(csv_text(EVENT_COLUMNS, event_cells(events)))
    else:
        say(history_text(stage, events))


def backup(
    folder: Folder,
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="A new file.")],
) -> None:
    """Copy the database into one file, while it is in use."""
    from crewplan.store.backup import back_up
    from crewplan.store.place import place_of

    with progress("Copying ..."):
        back_up(place_of(folder), out)
    say(f"{out} has all versions.")


def restore(
    file: Annotated[Path, typer.Argument(help="What crewplan backup wrote.")],
    to: Annotated[
        str, typer.Option("--to", metavar="WHERE", help="Folder or address of the database.")
    ],
    replace: Annotated[
        bool, typer.Option("--replace", help="Put it in the place of the database there.")
    ] = False,
) -> None:
    """Check a backup, and bring it back."""
    from crewplan.store.backup import restore as bring_back

    with progress("Checking and copying ..."):
        place = bring_back(file, to, replace=replace)
    say(f"{place.name} is as the backup was.")


def register(app: typer.Typer) -> None:
    """Add the commands to the program's."""
    app.command("import")(import_tables)
    for command in (export, history, backup, restore):
        app.command()(command)
