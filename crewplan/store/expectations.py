"""What published plans expected of their placements: one record a placement, beside the plan."""

from datetime import date, datetime

from sqlalchemy import Connection, select

from crewplan.model.expected import Expectation, KeptExpectation
from crewplan.store.records import NewRecord, Record, found_records
from crewplan.store.schema import RECORDS


def expectation_record(one: Expectation, plan: int, asked_at: datetime) -> NewRecord:
    """As it is kept; `asked_at` is what the clock said when the plan was made."""
    contents = {
        "plan": plan,
        "asked_at": asked_at.isoformat(),
        "days": [day.isoformat() for day in one.days],
        "starts_at": one.starts_at.isoformat(),
        "exposed": one.exposed,
        "p_go": one.p_go,
        "p_finish": one.p_finish,
        "p_ready": one.p_ready,
        "lost_h": one.lost_h,
    }
    return NewRecord("expected", contents, str(one.days[0]), one.stage, one.job, one.crew)


def kept_expectations(connection: Connection) -> tuple[KeptExpectation, ...]:
    """All of them, oldest first."""
    wanted = select(RECORDS).where(RECORDS.c.kind == "expected")
    return tuple(_kept(record) for record in found_records(connection, wanted))


def _kept(record: Record) -> KeptExpectation:
    told = record.contents
    return KeptExpectation(
        told["plan"],
        datetime.fromisoformat(told["asked_at"]),
        Expectation(
            stage=record.stage,
            job=record.job,
            crew=record.crew,
            days=tuple(map(date.fromisoformat, told["days"])),
            starts_at=datetime.fromisoformat(told["starts_at"]),
            exposed=told["exposed"],
            p_go=told["p_go"],
            p_finish=told["p_finish"],
            p_ready=told["p_ready"],
            lost_h=told["lost_h"],
        ),
    )
