"""Which jobs are finished: all of their stages done, by the same rule as planning's.

A finished job takes no part in a plan, so that its rows need not be read for one. A job that is not
known to be finished counts as open: a mistake on that side costs time and nothing else.
"""

from collections.abc import Collection, Mapping, Sequence
from datetime import date
from hashlib import sha256
from typing import Any

from sqlalchemy import Connection, delete, insert, select

from crewplan.intake.folder import OwnTables, branch_of
from crewplan.intake.package_rows import package_rows
from crewplan.labour import stage_hours_all
from crewplan.model.branch import Branch
from crewplan.model.settings import Settings
from crewplan.store.cells import row_of
from crewplan.store.rows import StoredRow, at_version, chunks, json_text, stored
from crewplan.store.schema import JOB_STATES, TABLE_ROWS, WORK_RULES
from crewplan.store.upkeep import RULES, Touched
from crewplan.store.whole import settings_at
from crewplan.takeoff import take_off_all

_NAME = "finished"
_OF_A_JOB = ("jobs", "planes", "stages")


def _standing(connection: Connection, tables: Collection[str], **where: Any) -> list[StoredRow]:
    """Rows that stand now of some tables, in the tables' order; `where` gives words by column."""
    wanted = select(TABLE_ROWS).where(
        TABLE_ROWS.c.table_name.in_(tables), at_version(TABLE_ROWS, None)
    )
    for column, words in where.items():
        wanted = wanted.where(TABLE_ROWS.c[column].in_(words))
    # put in order here: asked for in order, SQLite reads the whole table for it
    found = sorted(connection.execute(wanted), key=lambda row: row.position)
    return [stored(row) for row in found]


def _typed(rows: Sequence[StoredRow], tables: Collection[str]) -> dict[str, tuple[Any, ...]]:
    found: dict[str, list[Any]] = {name: [] for name in tables}
    for row in rows:
        found[row.table].append(row_of(row.table, row.cells))
    return {name: tuple(of) for name, of in found.items()}


def rules_digest(own: Mapping[str, Sequence[Any]]) -> str:
    """Of the rows that decide when a stage is done: the branch's own and the package's."""
    rows = {name: list(map(repr, own.get(name, ()))) for name in RULES}
    package = {name: list(map(repr, package_rows(name))) for name in RULES if name != "authorities"}
    return sha256(json_text([rows, package]).encode()).hexdigest()


def is_settled(connection: Connection, own: Mapping[str, Sequence[Any]]) -> bool:
    """Whether `job_states` was worked out with these rules."""
    known = connection.execute(
        select(WORK_RULES.c.digest).where(WORK_RULES.c.name == _NAME)
    ).scalar()
    return known == rules_digest(own)


def finished_from(branch: Branch) -> dict[str, date | None]:
    """By job: from which day on all of its stages are done; None while one is open.

    A job without stages is open: somebody has yet to say what there is to do.
    """
    hours = stage_hours_all(branch, take_off_all(branch), date.max)
    last: dict[str, date] = {}
    for row in branch.progress:
        last[row.stage] = max(row.day, last.get(row.stage, row.day))
    days: dict[str, list[date | None]] = {job.job: [] for job in branch.jobs}
    for stage in branch.stages:
        days[stage.job].append(last[stage.stage] if hours[stage.stage].done else None)
    found: dict[str, date | None] = {}
    for job, of_stages in days.items():
        ends = [day for day in of_stages if day is not None]
        found[job] = max(ends) if ends and len(ends) == len(of_stages) else None
    return found


def _work_out(
    connection: Connection,
    settings: Settings,
    rules: Mapping[str, tuple[Any, ...]],
    jobs: list[str],
) -> None:
    """The states of some jobs, anew; of those that are gone, none."""
    of_jobs = _typed(_standing(connection, _OF_A_JOB, job=jobs), _OF_A_JOB)
    stages = [row.stage for row in of_jobs["stages"]]
    progress = [
        row for some in chunks(stages) for row in _standing(connection, ("progress",), stage=some)
    ]
    progress.sort(key=lambda row: row.position)
    rows = {**rules, **of_jobs, **_typed(progress, ("progress",))}
    empty = dict.fromkeys(("people", "crews", "requirements"), ())
    branch = branch_of(OwnTables(settings, {**empty, **rows}, {}))
    connection.execute(delete(JOB_STATES).where(JOB_STATES.c.job.in_(jobs)))
    states = [
        {"job": job, "finished_on": None if day is None else day.isoformat()}
        for job, day in finished_from(branch).items()
    ]
    if states:
        connection.execute(insert(JOB_STATES), states)


def settle(connection: Connection, changed: Touched) -> None:
    """Work out anew which jobs are finished, of those that changed; all where a rule did."""
    settings = settings_at(connection)
    if settings is None:
        return
    rules = _typed(_standing(connection, RULES), RULES)
    jobs = set(changed.jobs)
    for some in chunks(changed.stages):
        jobs |= {
            row_of(row.table, row.cells).job
            for row in _standing(connection, ("stages",), stage=some)
        }
    if changed.rules or not is_settled(connection, rules):
        jobs |= _all_jobs(connection)
        connection.execute(delete(WORK_RULES).where(WORK_RULES.c.name == _NAME))
        values = {"name": _NAME, "digest": rules_digest(rules)}
        connection.execute(insert(WORK_RULES), values)
    for some in chunks(jobs):
        _work_out(connection, settings, rules, some)


def _all_jobs(connection: Connection) -> set[str]:
    standing = select(TABLE_ROWS.c.job).where(
        TABLE_ROWS.c.table_name == "jobs", at_version(TABLE_ROWS, None)
    )
    return {
        *connection.execute(standing).scalars(),
        *connection.execute(select(JOB_STATES.c.job)).scalars(),
    }
