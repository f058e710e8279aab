"""What a crew that is done early may ask the office for, in words."""

from collections.abc import Iterable

from crewplan.model.next_early import NextEarly
from crewplan.model.verdict import DayVerdict
from crewplan.publishing.day_words import day_words
from crewplan.publishing.kind_words import KIND_WORDS


def worth_asking(early: NextEarly, verdicts: Iterable[DayVerdict]) -> bool:
    """Not where it is roof work and the day is no go on the crew's own roof: it lies under the
    same sky, and nobody is to be tempted."""
    shut = any(one.exposure != "ground" and one.verdict != "go" for one in verdicts)
    return not (early.exposed and shut)


def early_words(early: NextEarly) -> str:
    """One or two sentences."""
    where = f", {early.job.address}" if early.job.address else ""
    told = (
        f"{KIND_WORDS[early.stage.kind]} {early.stage.stage} (job {early.job.job}{where}) is yours "
        f"on {day_words(early.planned_on)}: ask the office whether you may come today."
    )
    return f"{told} A roof there needs a go of its own." if early.exposed else told
