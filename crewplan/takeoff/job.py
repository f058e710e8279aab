"""Take-off of a job, and of all jobs of a branch."""

from collections.abc import Iterable

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Job, Module, Plane, Racking
from crewplan.model.takeoff import JobTakeOff, PlaneTakeOff
from crewplan.model.waiting_rows import Authority
from crewplan.takeoff.plane import take_off_plane
from crewplan.takeoff.rail import RAILS, mid_clamps, rail_pieces
from crewplan.takeoff.words import PIECES, TAKEOFF_ITEMS


def take_off(
    job: Job,
    planes: Iterable[tuple[Plane, Module, Racking]],
    authority: Authority | None = None,
) -> JobTakeOff:
    """Counts and drivers of one job from its planes, each with its module and racking.

    Raises nothing: rules that are broken stand in the planes' `problems`.
    """
    done: list[PlaneTakeOff] = []
    pieces, splices, mids, power_w = 0, 0, 0, 0.0
    for plane, module, racking in planes:
        counted = take_off_plane(plane, module, racking, authority)
        done.append(counted)
        power_w += counted.modules * module.power_w
        mids += sum(mid_clamps(count) for count in plane.rows)
        for length in counted.row_lengths_mm:
            rail = rail_pieces(length, racking.rail_mm)
            pieces += RAILS * rail
            splices += RAILS * (rail - 1)
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
    counts = {rule.item: round(rule.pieces * drivers[rule.driver]) for rule in PIECES}
    counts |= {"rail": pieces, "splice": splices, "mid clamp": mids}
    return JobTakeOff(
        job=job.job,
        planes=tuple(done),
        items={word: counts[word] for word in TAKEOFF_ITEMS},
        drivers=drivers,
        power_w=power_w,
    )


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
