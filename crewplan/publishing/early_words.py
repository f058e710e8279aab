"""What a crew that is done early may ask the office for, in words."""

from collections.abc import Collection

from crewplan.model.next_early import NextEarly
from crewplan.model.verdict import DayVerdict
from crewplan.publishing.day_words import day_words
from crewplan.publishing.kind_words import KIND_WORDS


def worth_asking(early: NextEarly, verdicts: Collection[DayVerdict]) -> bool:
    """Not where the day is no go, or unknown, for such work on the crew's own site: the other lies
    under the same sky, and nobody is to be tempted. Without any verdict it is unknown."""
    ground = [one for one in verdicts if one.exposure == "ground"]
    asked = verdicts if early.exposed or not ground else ground
    return bool(asked) and all(one.verdict == "go" for one in asked)


def early_words(early: NextEarly) -> str:
    """One or two sentences."""
    where = f", {early.job.address}" if early.job.address else ""
    told = (
        f"{KIND_WORDS[early.stage.kind]} {early.stage.stage} (job {early.job.job}{where}) is yours "
        f"on {day_words(early.planned_on)}: ask the office whether you may come today."
    )
    return f"{told} A roof there needs a go of its own." if early.exposed else told
