"""The whole record of a database as an open book, brought up to each entry."""

from dataclasses import dataclass

from sqlalchemy import Connection

from crewplan.intake.folder import branch_of
from crewplan.ledger import Book, open_book
from crewplan.ledger.reopening import reopened
from crewplan.store.kept_tables import ENTERED, KeptTables, brought_up, read_and_kept
from crewplan.takeoff import take_off_all


@dataclass(frozen=True, slots=True, eq=False)
class KeptRecord:
    """A book and the tables that it was opened on."""

    tables: KeptTables
    book: Book

    @property
    def version(self) -> int:
        """Of the database."""
        return self.tables.version.number

    def extends(self, former: "KeptRecord") -> bool:
        """Whether nothing but entries was added, neither read nor opened again."""
        return self.book.planned is former.book.planned


def kept_record(connection: Connection, former: KeptRecord | None = None) -> KeptRecord:
    """The record as it stands; extended from a former one where only entries and plans came since.

    Raises:
        NotDone: nothing has been imported yet.
    """
    tables = brought_up(connection, former.tables) if former is not None else None
    if former is None or tables is None:
        tables, book = read_and_kept(connection), None
    else:
        rows = {name: tables.own.rows.get(name, ()) for name in ENTERED}
        book = reopened(former.book, rows, tables.own.present)
    if book is None:
        branch = branch_of(tables.own)
        book = open_book(branch, take_off_all(branch))
    return KeptRecord(tables, book)
