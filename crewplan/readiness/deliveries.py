"""When what is on order is there, by what suppliers promised before and when it came."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from crewplan.model.branch import Branch
from crewplan.model.chance import whole_percent
from crewplan.model.material_rows import Arrival
from crewplan.readiness.curves import Curve, kaplan_meier
from crewplan.readiness.waits import Waits

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Delivery:
    """One row of arrivals that is not there yet."""

    row: Arrival
    half_on: date | None
    """There with 50 %; None: the record does not say. Without a record the day expected."""
    counts_from: date | None
    """There with the branch's least chance of readiness; None: never within the record."""
    note: str = ""
    """Where that is not the day expected."""


def promised(row: Arrival) -> date:
    """The day that the supplier first named."""
    return row.promised_on or row.expected_on


def booked_in(row: Arrival, today: date) -> bool:
    """Whether it came: then it is part of the stock."""
    return row.arrived_on is not None and row.arrived_on <= today


@dataclass(frozen=True, slots=True, eq=False)
class DeliveryRecord:
    """Days between the day promised and the day of arrival, by supplier."""

    earliest: int
    """The least of them, negative where something came early; `waits` count from there."""
    own: dict[str, Curve]
    pool: Curve

    def waits(self, supplier: str) -> Waits:
        """Its own record, leaning on all suppliers' where it is short."""
        return Waits(self.own.get(supplier), self.pool)


def delivery_record(rows: Sequence[Arrival], today: date) -> DeliveryRecord | None:
    """None where nothing has come yet; what is overdue counts as still on its way."""
    came = [row for row in rows if booked_in(row, today)]
    if not came:
        return None
    late = [((row.arrived_on or today) - promised(row)).days for row in came]
    earliest = min(late)
    due = [row for row in rows if not booked_in(row, today)]
    due = [row for row in due if (today - promised(row)).days >= earliest]
    by: dict[str, tuple[list[int], list[bool]]] = {}
    for row, days, over in [
        *((row, days, True) for row, days in zip(came, late, strict=True)),
        *((row, (today - promised(row)).days, False) for row in due),
    ]:
        for supplier in {row.supplier, ""}:
            waits, ended = by.setdefault(supplier, ([], []))
            waits.append(days - earliest)
            ended.append(over)
    curves = {supplier: kaplan_meier(*record) for supplier, record in by.items()}
    return DeliveryRecord(earliest, {s: c for s, c in curves.items() if s}, curves[""])


def _first(record: DeliveryRecord, row: Arrival, today: date, share: float) -> date | None:
    """The first day after today on which it is there with that chance."""
    waits = record.waits(row.supplier)
    start = promised(row) + timedelta(days=record.earliest)
    waited = (today - start).days
    days = np.arange(max(waited + 1, 0), max(waits.seen_to, waited + 1) + 1)
    enough = np.flatnonzero(waits.chance_by(days, max(waited, -1)) >= share - _ROUNDING)
    return start + timedelta(days=int(days[enough[0]])) if enough.size else None


def counted_deliveries(branch: Branch, today: date | None) -> tuple[Delivery, ...]:
    """What is on order, in the table's order; without a day or a record as it is expected."""
    if today is None:
        return tuple(
            Delivery(row, row.expected_on, row.expected_on)
            for row in branch.arrivals
            if row.arrived_on is None
        )
    record = delivery_record(branch.arrivals, today)
    least = branch.settings.ready_probability
    found: list[Delivery] = []
    for row in branch.arrivals:
        if booked_in(row, today):
            continue
        if record is None:
            found.append(Delivery(row, row.expected_on, row.expected_on))
            continue
        half, counts = (_first(record, row, today, share) for share in (0.5, least))
        what = f"{row.quantity:g} {row.item}" + (f" from {row.supplier}" if row.supplier else "")
        when = (
            f"counts from {counts}, by which {whole_percent(least)} % of such deliveries are there"
            if counts is not None
            else "is not counted: the suppliers' record does not reach that far"
        )
        note = "" if counts == row.expected_on else f"{what}, expected {row.expected_on}, {when}"
        found.append(Delivery(row, half, counts, note))
    return tuple(found)
