"""What goes onto the truck for a stage: material by the take-off, and tools in general words."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from crewplan.labour.shares import stage_shares
from crewplan.model.branch import Branch
from crewplan.model.job_rows import Covering, Job, LiftMethod, Stage, StageKind
from crewplan.model.takeoff import JobTakeOff
from crewplan.publishing.spares import spare
from crewplan.publishing.waiting_words import plain
from crewplan.readiness import share_before


@dataclass(frozen=True, slots=True)
class LoadLine:
    """One item of the take-off."""

    item: str
    """The take-off's own word."""
    counted: int
    """Pieces for this stage's share, without spares."""
    spare: int
    """Pieces beyond these, by the rule of `spares`."""


_ROUNDING = 1e-9
"""Shares such as 1/3 thrice must not add a piece by floating point."""


def load_list(branch: Branch, stage: Stage, takeoff: JobTakeOff) -> tuple[LoadLine, ...]:
    """Pieces to load, in the take-off's order; none but for roof work, which uses the kit.

    Where a job's roof stages follow each other, together they load the job's pieces and no more,
    as they draw them from the store.
    """
    if stage.kind != "roof":
        return ()
    before = share_before(branch, stage)
    up_to = before + stage_shares(branch.stages)[stage.stage]
    counts = (
        (item, _whole(pieces * up_to) - _whole(pieces * before))
        for item, pieces in takeoff.items.items()
    )
    return tuple(
        LoadLine(item, counted, spare(item, counted)) for item, counted in counts if counted > 0
    )


def _whole(pieces: float) -> int:
    return math.ceil(pieces - _ROUNDING)


_LIFT_TOOLS: Mapping[LiftMethod, tuple[str, ...]] = {
    "hoist": ("hoist with its load plate", "slings or module cradle", "tag line"),
    "boom": ("boom with its load chart", "spreader pads", "slings or module cradle", "tag line"),
    "conveyor": ("conveyor with its roof hook", "power lead", "straps"),
    "ladder_hoist": ("ladder hoist with its carriage", "roof support", "power lead", "tag line"),
}

_COVERING_TOOLS: Mapping[Covering, tuple[str, ...]] = {
    "shingle": ("flat bar for the shingles", "putty knife to break the seal"),
    "tile": (
        "tile lifter",
        "grinder with tile blade and dust mask",
        "spare tiles",
        "foam pads to walk on",
    ),
    "metal": ("hex drivers for the roof's screws", "sealing tape", "soft-soled shoes"),
    "slate": (
        "slate ripper",
        "slate hooks or clips",
        "spare slates",
        "roof ladder with ridge hook",
    ),
}
"""Common practice, no source; the covering's maker comes first."""

_KIND_TOOLS: Mapping[StageKind, tuple[str, ...]] = {
    "roof": (
        "harness, rope and anchor for each person",
        "rescue kit",
        "ladder and its ties",
        "chalk line, tape and rafter finder",
        "drills, pilot bits and drivers",
        "torque wrench",
        "sealant",
        "rail saw and deburring tool",
    ),
    "electrical": (
        "lock-out kit",
        "meter rated for the system's voltage",
        "crimping and stripping tools",
        "torque screwdriver",
        "labels and placards",
        "conduit tools",
    ),
    "inspection": ("permit and approved drawings", "meter", "ladder and its ties"),
    "commissioning": ("permission to operate", "meter", "set-up device for the microinverters"),
    "return": ("ladder and its ties", "harness, rope and anchor for each person", "torque wrench"),
}
"""Common practice, no source; makers' manuals and the lead's own list come first."""


def tools(stage: Stage, job: Job, coverings: Iterable[Covering] = ()) -> tuple[str, ...]:
    """What to take besides material: as stated, by how modules get up, by what the roof is covered
    with, and by kind of work."""
    on_roof = stage.kind in ("roof", "return")
    lift = _LIFT_TOOLS[job.lift_method] if stage.kind == "roof" else ()
    asked = (plain(word) for word in stage.equipment if not lift or word != job.lift_method)
    covered = (
        tool for covering in coverings for tool in (_COVERING_TOOLS[covering] if on_roof else ())
    )
    return tuple(dict.fromkeys((*asked, *lift, *covered, *_KIND_TOOLS[stage.kind])))
