"""The published plan before the newest, put back: as a new number, since nothing is taken away."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, select

from crewplan.model.plan_row import PlanRow
from crewplan.store.cells import row_of
from crewplan.store.expectations import kept_expectations
from crewplan.store.faults import NotDone
from crewplan.store.publishing_plan import Published, Told, publish
from crewplan.store.rows import rows_at
from crewplan.store.schema import PLANS, VERSIONS


@dataclass(frozen=True, slots=True)
class StandingPlan:
    """The newest published plan."""

    number: int
    version: int
    by: str
    at: datetime
    """UTC."""


def standing_plan(connection: Connection) -> StandingPlan | None:
    """The newest published plan; None: nothing is published yet."""
    wanted = (
        select(PLANS.c.number, PLANS.c.version, VERSIONS.c.made_by, VERSIONS.c.made_at)
        .join(VERSIONS, PLANS.c.version == VERSIONS.c.number)
        .order_by(PLANS.c.number.desc())
        .limit(1)
    )
    row = connection.execute(wanted).first()
    if row is None:
        return None
    return StandingPlan(row.number, row.version, row.made_by, datetime.fromisoformat(row.made_at))


def former_rows(connection: Connection, standing: StandingPlan) -> tuple[PlanRow, ...]:
    """The rows that stood right before a plan was published, pins of then included."""
    rows = rows_at(connection, standing.version - 1, "plan").get("plan", [])
    return tuple(row_of("plan", row.cells) for row in rows)


def put_back(connection: Connection, number: int, by: str, at: datetime) -> Published:
    """Publish what stood before the newest plan; the caller holds the writer's turn.

    What the former plan expected of its placements counts again, since visits are held to the
    newest plan before their start.

    Args:
        connection: of the database.
        number: of the plan that is to go; it must be the newest.
        by: who does it.
        at: when, by the machine's clock.

    Raises:
        NotDone: it is not the newest, nothing stood before it, or tables were imported meanwhile.
    """
    standing = standing_plan(connection)
    if standing is None or standing.number != number:
        raise NotDone(f"plan {number} is not the newest any more: look at the week again")
    before = connection.execute(
        select(PLANS.c.version).where(PLANS.c.number == number - 1)
    ).scalar()
    if before is None:
        raise NotDone("nothing was published before it")
    imports = select(VERSIONS.c.number).where(
        VERSIONS.c.kind == "import",
        VERSIONS.c.number > before,
        VERSIONS.c.number < standing.version,
    )
    if connection.execute(imports).first() is not None:
        raise NotDone(
            f"tables were imported between plan {number - 1} and plan {number}, so that the former"
            " may rest on what is gone: publish a new week"
        )
    told = [row for row in kept_expectations(connection) if row.plan == number - 1]
    return publish(
        connection,
        former_rows(connection, standing),
        by,
        at,
        standing.version,
        Told(told[0].asked_at, [row.expected for row in told]) if told else None,
    )
