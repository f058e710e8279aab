"""What goes onto the truck for a stage: material by the take-off, and tools in general words."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from crewplan.labour.shares import stage_shares
from crewplan.model.branch import Branch
from crewplan.model.job_rows import Job, LiftMethod, Stage, StageKind
from crewplan.model.takeoff import JobTakeOff
from crewplan.publishing.waiting_words import plain


@dataclass(frozen=True, slots=True)
class LoadLine:
    """One item of the take-off."""

    item: str
    """The take-off's own word."""
    counted: int
    """Pieces for this stage's share, without spares."""


_ROUNDING = 1e-9
"""Shares such as 1/3 thrice must not add a piece by floating point."""


def load_list(branch: Branch, stage: Stage, takeoff: JobTakeOff) -> tuple[LoadLine, ...]:
    """Pieces to load, in the take-off's order; none but for roof work, which uses the kit."""
    if stage.kind != "roof":
        return ()
    share = stage_shares(branch.stages)[stage.stage]
    lines = (
        LoadLine(item, math.ceil(pieces * share - _ROUNDING))
        for item, pieces in takeoff.items.items()
    )
    return tuple(line for line in lines if line.counted > 0)


_LIFT_TOOLS: Mapping[LiftMethod, tuple[str, ...]] = {
    "hoist": ("hoist with its load plate", "slings or module cradle", "tag line"),
    "boom": ("boom with its load chart", "spreader pads", "slings or module cradle", "tag line"),
    "conveyor": ("conveyor with its roof hook", "power lead", "straps"),
    "ladder_hoist": ("ladder hoist with its carriage", "roof support", "power lead", "tag line"),
}

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


def tools(stage: Stage, job: Job) -> tuple[str, ...]:
    """What to take besides material: by kind of work, how modules get up, and as stated."""
    lift = _LIFT_TOOLS[job.lift_method] if stage.kind == "roof" else ()
    asked = (plain(word) for word in stage.equipment if not lift or word != job.lift_method)
    return tuple(dict.fromkeys((*asked, *lift, *_KIND_TOOLS[stage.kind])))
