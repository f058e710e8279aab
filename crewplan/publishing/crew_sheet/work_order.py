"""In which order the work goes, and what can go on when the lift is shut."""

from collections.abc import Collection, Mapping, Sequence

from crewplan.model.hours import StepHours
from crewplan.model.work_rows import Exposure
from crewplan.publishing.crew_sheet.blocks import Lines, Section, Words
from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.tape import tape_words
from crewplan.publishing.waiting_words import plain

_MIND: Mapping[str, str] = {
    "unload_and_prepare": "check what came against the load-out list; {frames}",
    "fall_protection": "anchors, ropes and ladder first; nobody is on the roof before that",
    "mark_rafters": "snap line A and line B, check both diagonals, find and mark every rafter",
    "attachments": "on rafters only; pilot hole square to the roof, lag at the foot's uphill end;"
    " flash each hole before the next is drilled",
    "rails": "on their lines, shims in the dips; no splice in the middle third of a span",
    "microinverters_and_leads": "leads are connected and clipped off the roof before any module is"
    " set down over them",
    "lift": "only inside a lift window, nobody below; hoist, boom or conveyor, never a ladder by"
    " hand",
    "set_and_clamp": "connect a module's lead before it is set down; two people to a module; clamp"
    " it before the next comes up",
    "torque_check": "torque by the makers' sheets; see the closing checks",
    "clear_up": "off the roof last: tools, off-cuts, anchors as agreed; then the gutters",
    "conduit_and_disconnects": "isolate, lock out and test dead first",
    "panel_upgrade": "the utility has disconnected, and it was tested dead",
    "battery": "two people carry; keep the maker's distances",
    "connect_and_label": "polarity and voltage before anything is closed; labels and placards",
    "inspection_visit": "permit and approved drawings in hand",
    "production_check": "permission to operate in hand before it is switched on",
    "return_work": "fall protection first, also for five minutes",
}
"""By step of the package. Splices: makers' manuals; ladders: OSHA, Green Job Hazards: Solar; lags:
common practice; the rest common practice, no source."""

BREAK_OFF = (
    "Break off only where every hole is flashed and every module that is up is clamped; keep the"
    " time for that inside the window."
)


def frame_marks(facts: SheetFacts) -> str:
    """Where to mark module frames on the ground, so that they meet the rails."""
    places = {
        tuple(tape_words(up - row.up_mm, facts.units) for up in row.rails_up_mm): row.module_up_mm
        for marks in facts.marks
        for row in marks.rows
    }
    told = " or ".join(f"{low} and {high}" for low, high in places)
    if not told:
        return "mark module frames on the ground where the rails will cross them"
    return (
        f"mark module frames on the ground where the rails will cross them, {told} from the lower"
        " edge (the module maker's clamping zones come first)"
    )


def open_without(steps: Sequence[StepHours], shut: Collection[Exposure]) -> list[StepHours]:
    """Steps that are not of a shut exposure, nor wait for one that is, in working order."""
    going: dict[str, StepHours] = {}
    for step in steps:
        if step.exposure not in shut and all(before in going for before in step.after):
            going[step.step] = step
    return list(going.values())


def _named(steps: Sequence[StepHours]) -> str:
    return ", ".join(f"{plain(step.step)} ({step.p50_h:.1f} h)" for step in steps)


def _when_shut(facts: SheetFacts) -> tuple[str, ...]:
    steps = facts.hours.steps
    told = []
    if any(step.exposure == "lift" for step in steps):
        going = _named(open_without(steps, {"lift"}))
        told.append(
            f"Lift shut, roof go: {going}."
            if going
            else "Lift shut: nothing of this stage can go on; ask the office for other work."
        )
    if facts.hours.exposed:
        going = _named(open_without(steps, {"lift", "roof"}))
        shut = "Roof shut too" if told else "Roof shut"
        told.append(
            f"{shut}: only on the ground, {going}."
            if going
            else f"{shut}: nothing of this stage can be done from the ground; ask the office"
            " for other work."
        )
        told.append(BREAK_OFF)
    return tuple(told)


def order_of_work(facts: SheetFacts) -> Section:
    """The steps that are left, each with what to mind; then what can go on in the wind."""
    frames = frame_marks(facts)
    lines = tuple(
        plain(step.step) + (f": {mind.format(frames=frames)}" if mind else "")
        for step in facts.hours.steps
        for mind in (_MIND.get(step.step, ""),)
    )
    if not lines:
        return Section("Order of work", (Words("No steps are left, or none are known."),))
    shut = _when_shut(facts)
    blocks = [Lines(lines, numbered=True)]
    if shut:
        blocks += [Lines(shut)]
    return Section("Order of work, and what goes on when the lift is shut", tuple(blocks))
