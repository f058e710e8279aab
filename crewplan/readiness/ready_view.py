"""What the branch's stages wait for, worked out before anybody words it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.horizon import Horizon
from crewplan.model.job_rows import Job, Stage
from crewplan.model.plan_row import PlanRow
from crewplan.model.readiness import StageReadiness
from crewplan.readiness.ask_by import AskBy
from crewplan.readiness.calls import Call
from crewplan.readiness.dates import Dates
from crewplan.readiness.deliveries import Delivery
from crewplan.readiness.first_visit import FirstVisit
from crewplan.readiness.orders import Order
from crewplan.readiness.outlook import Outlook
from crewplan.readiness.shortages import Missing, Shortage


@dataclass(frozen=True, slots=True, eq=False)
class StageReady:
    """What one stage waits for."""

    row: Stage
    job: Job
    done: bool
    wanted_on: date
    """Its day: the published one, today where that is past; without any the promise."""
    published: PlanRow | None
    waits: StageReadiness
    """Its requirements, over the view's `days`."""
    missing: tuple[Missing, ...]
    """Its kit, over the view's `days`."""
    outlook: Outlook
    """Both together, over the view's `days`."""
    short: tuple[Shortage, ...]
    """Items that are not there on its day."""
    ask_by: Mapping[str, AskBy]
    """By kind that is to be asked for (open, refused or lapsing): the latest day that keeps its
    day, what can only be asked for after it included."""
    if_asked_today: Mapping[str, Dates]
    """By the same kinds: when the answer is there if asked for today, after what comes first."""
    order_by: Mapping[str, tuple[str, AskBy]]
    """By short item: the supplier (empty: not known), and the latest day that keeps its day."""


@dataclass(frozen=True, slots=True, eq=False)
class ReadyView:
    """The answer for a branch."""

    branch: Branch
    clock: str
    """`now` or `set by hand`."""
    today: date
    horizon: Horizon
    days: tuple[date, ...]
    """All days looked at, ascending: those of the horizon, and calendar days from today on."""
    stages: tuple[StageReady, ...]
    """In the table's order."""
    orders: tuple[Order, ...]
    calls: tuple[Call, ...]
    """The dearest delay first."""
    deliveries: tuple[Delivery, ...]
    """What is on order, and when it is there by the suppliers' record."""
    first_visits: Mapping[str, FirstVisit]
    """By job: what the record says of its next inspection."""
    notes: tuple[str, ...]
    """What is not judged."""

    def ready_on_its_day(self, stage: StageReady) -> bool:
        """All in hand for certain on its day, or done."""
        return stage.done or bool(stage.outlook.ready[self.days.index(stage.wanted_on)])
