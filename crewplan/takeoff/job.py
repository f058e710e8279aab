"""Take-off of a job, and of all jobs of a branch."""

from collections.abc import Iterable, Mapping, Sequence

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Job, Module, Plane, Racking
from crewplan.model.takeoff import JobTakeOff, PlaneTakeOff, StockCut
from crewplan.model.waiting_rows import Authority
from crewplan.takeoff.plane import take_off_plane
from crewplan.takeoff.rail import RAILS
from crewplan.takeoff.stock import cut_job
from crewplan.takeoff.words import ATTACHED_BY, PIECES, TAKEOFF_ITEMS


def take_off(
    job: Job,
    planes: Iterable[tuple[Plane, Module, Racking]],
    authority: Authority | None = None,
) -> JobTakeOff:
    """Counts and drivers of one job from its planes, each with its module and racking.

    Raises nothing: rules that are broken stand in the planes' `problems`.
    """
    rows = tuple(planes)
    counted = [take_off_plane(*row, authority) for row in rows]
    racking = {plane.plane: row[2] for plane, row in zip(counted, rows, strict=True)}
    cut = cut_job(counted, racking)
    done = cut.planes
    power_w = sum(plane.modules * row[1].power_w for plane, row in zip(done, rows, strict=True))
    drivers: dict[str, float] = {
        "modules": sum(plane.modules for plane in done),
        "attachments": sum(plane.attachments for plane in done),
        "rail_m": sum(plane.rail_mm for plane in done) / 1000,
        "rows": sum(len(plane.row_lengths_mm) for plane in done),
        "planes": len(done),
        "storeys": job.storeys,
        "kw": power_w / 1000,
        "stage": 1,
        "visit": 1,
        "system": 0 if job.electrical == "none" else 1,
        "panel_upgrade": 1 if job.electrical == "panel_upgrade" else 0,
        "battery": 1 if job.electrical == "battery" else 0,
    }
    return JobTakeOff(
        job=job.job,
        planes=done,
        items=_items(rows, done, drivers, cut.stock),
        drivers=drivers,
        power_w=power_w,
        cuts=cut.stock,
        least_stock=cut.least,
    )


def _items(
    rows: Sequence[tuple[Plane, Module, Racking]],
    done: Sequence[PlaneTakeOff],
    drivers: Mapping[str, float],
    stock: Sequence[StockCut],
) -> dict[str, int]:
    """Pieces by word, in the take-off's order; a word that is not used counts 0."""
    counts = dict.fromkeys(TAKEOFF_ITEMS, 0)
    for rule in PIECES:
        counts[rule.item] += round(rule.pieces * drivers[rule.driver])
    for (plane, _, _), counted in zip(rows, done, strict=True):
        for rule in ATTACHED_BY[plane.covering]:
            counts[rule.item] += rule.pieces * counted.attachments
        rails = len(counted.rails)
        counts["mid clamp"] += RAILS * counted.modules - rails
        counts["end clamp"] += RAILS * rails
        counts["bonding lug"] += rails // RAILS
        counts["splice"] += sum(len(rail.splices_mm) for rail in counted.rails)
    counts["rail"] = len(stock)
    return counts


def take_off_all(branch: Branch) -> dict[str, JobTakeOff]:
    """Every job of a branch, by its number; a job without planes has counts of 0."""
    modules = {row.module: row for row in branch.modules}
    racking = {row.racking: row for row in branch.racking}
    authorities = {row.authority: row for row in branch.authorities}
    by_job: dict[str, list[tuple[Plane, Module, Racking]]] = {job.job: [] for job in branch.jobs}
    for plane in branch.planes:
        rails = racking.get(plane.racking, branch.racking[0])
        by_job[plane.job].append((plane, modules[plane.module], rails))
    return {
        job.job: take_off(job, by_job[job.job], authorities.get(job.authority))
        for job in branch.jobs
    }
