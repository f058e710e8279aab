"""How a database would answer what a piece of code asks it: every statement, explained."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, NamedTuple

from sqlalchemy import event

from crewplan.store.connecting import Store

Asked = list[tuple[str, Any]]


class QueryPlan(NamedTuple):
    """A statement, what it was asked with, and how it would be answered."""

    statement: str
    parameters: str
    plan: str

    def reads_all(self, table: str) -> bool:
        """Whether it reads a table, or all of one of its indexes, from end to end."""
        return f"SCAN {table}" in self.plan or f"Seq Scan on {table}" in self.plan


@contextmanager
def _asked(store: Store) -> Iterator[Asked]:
    found: Asked = []

    def note(_c: Any, _k: Any, statement: str, parameters: Any, _x: Any, many: bool) -> None:
        if statement.lstrip().upper().startswith("SELECT") and not many:
            found.append((statement, parameters))

    event.listen(store.engine, "before_cursor_execute", note)
    try:
        yield found
    finally:
        event.remove(store.engine, "before_cursor_execute", note)


def query_plans(store: Store, ask: Callable[[Any], object]) -> list[QueryPlan]:
    """The database's plan for each statement that `ask` sends over a connection.

    A server is told to read a table from end to end only where no index helps: it would do so in a
    small table whatever indexes there are.
    """
    with store.read() as connection, _asked(store) as asked:
        ask(connection)
    plans = []
    with store.read() as connection:
        if not store.sqlite:
            connection.exec_driver_sql("SET LOCAL enable_seqscan = off")
        explain = "EXPLAIN QUERY PLAN" if store.sqlite else "EXPLAIN"
        for statement, parameters in asked:
            rows = connection.exec_driver_sql(f"{explain} {statement}", parameters)
            told = "\n".join(str(row[-1]) for row in rows)
            plans.append(QueryPlan(statement, str(parameters), told))
    return plans
