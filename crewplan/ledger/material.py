"""What a job's material costs: pieces of the take-off at the store's prices."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Plane
from crewplan.model.material_rows import Item
from crewplan.model.takeoff import JobTakeOff


class Material(NamedTuple):
    """Money for all of a job's pieces, and the words that have no price."""

    cost: Decimal
    unpriced: tuple[str, ...]


def material_all(branch: Branch, takeoffs: Mapping[str, JobTakeOff]) -> dict[str, Material]:
    """By job. A piece costs its part of a stocked unit; what is left of a pack goes back."""
    serving: dict[str, list[Item]] = {}
    for item in branch.items:
        serving.setdefault(item.takeoff_item or item.item, []).append(item)
    kinds = {row.module for row in branch.modules}
    planes: dict[str, list[Plane]] = {}
    for plane in branch.planes:
        planes.setdefault(plane.job, []).append(plane)
    return {
        job: _material(serving, kinds, planes.get(job, ()), takeoff)
        for job, takeoff in takeoffs.items()
    }


def _material(
    serving: Mapping[str, Sequence[Item]],
    kinds: set[str],
    planes: Sequence[Plane],
    takeoff: JobTakeOff,
) -> Material:
    pieces = [(word, "", count) for word, count in takeoff.items.items() if word != "module"]
    pieces += [("module", plane.module, sum(plane.rows)) for plane in planes]
    cost = Decimal(0)
    unpriced: dict[str, None] = {}
    for word, kind, count in pieces:
        item = _item_for(serving.get(word, ()), kind, kinds)
        if count == 0:
            continue
        if item is None or item.unit_cost == 0:
            unpriced[f"module {kind}" if kind else word] = None
        else:
            cost += count * Decimal(str(item.unit_cost)) / Decimal(str(item.pack))
    return Material(cost, tuple(unpriced))


def _item_for(items: Sequence[Item], kind: str, kinds: set[str]) -> Item | None:
    """As the store draws it: the item named as the kind of module, else the first that is not
    some other kind."""
    fits = [item for item in items if not kind or item.item not in kinds - {kind}]
    named = [item for item in fits if kind and item.item == kind]
    return next(iter(named or fits), None)
