"""What a crew can do while nobody may be on the roof."""

from crewplan.model.hours import StageHours, StepHours


def ground_steps(hours: StageHours) -> tuple[StepHours, ...]:
    """Steps on the ground that wait for no step on the roof or lift, in working order."""
    open_steps: dict[str, StepHours] = {}
    for step in hours.steps:
        if step.exposure == "ground" and all(before in open_steps for before in step.after):
            open_steps[step.step] = step
    return tuple(open_steps.values())
