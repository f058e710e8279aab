"""Go or no-go by day, with windows, and what the wind does to a module."""

from collections.abc import Iterator

from crewplan.model.chance import whole_percent
from crewplan.model.verdict import DayVerdict, Verdict
from crewplan.model.work_rows import EXPOSURES
from crewplan.publishing.crew_sheet.blocks import Block, Lines, Section, VerdictCard, Words
from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.day_words import day_words
from crewplan.publishing.reader import decimal
from crewplan.publishing.sentences import sentence
from crewplan.publishing.site_cautions import ADVICE_ONLY
from crewplan.publishing.standby import standby_words
from crewplan.publishing.wind_on_module import wind_words

TOLD: dict[Verdict, str] = {"go": "GO", "no-go": "NO-GO", "unknown": "UNKNOWN, so do not go"}
WORK = {"ground": "Ground work", "roof": "Roof work", "lift": "Lifting modules"}


def _windows(verdict: DayVerdict) -> Iterator[str]:
    for window in verdict.windows:
        yield (
            f"Window {window.start:%H:%M} to {window.end:%H:%M}, chance"
            f" {whole_percent(window.p_go)}%."
        )
    if not verdict.windows:
        yield "No window."
    if verdict.void_after is None:
        yield "There is no forecast to judge by. Ask again."
    else:
        void = f"{day_words(verdict.void_after.date())}, {verdict.void_after:%H:%M}"
        yield f"Void after {void}; ask again before then."


def _lines(verdict: DayVerdict, mark: str) -> Iterator[str]:
    yield sentence(verdict.why)
    needed = decimal(verdict.window_needed_h, 1)
    yield f"A window of at least {needed} h is needed, making safe included."
    cautions = dict.fromkeys(caution for hour in verdict.hours for caution in hour.cautions)
    yield from (f"Caution: {caution}." for caution in cautions)
    yield ADVICE_ONLY
    if mark:
        yield sentence(mark)


def verdict_card(verdict: DayVerdict, mark: str) -> VerdictCard:
    """One verdict, and beside it whose word comes first and when it is void."""
    title = f"{day_words(verdict.day)}, {WORK[verdict.exposure].lower()}"
    return VerdictCard(
        verdict.verdict,
        TOLD[verdict.verdict],
        title,
        (*_windows(verdict),),
        (*_lines(verdict, mark),),
    )


def wind_line(facts: SheetFacts) -> str:
    """What the wind does to the largest module at the lift's limit; empty where nothing says."""
    largest = max(facts.modules, key=lambda row: row.width_mm * row.height_mm, default=None)
    if largest is None or facts.lift_gust_mps is None:
        return ""
    return wind_words(facts.lift_gust_mps, largest, facts.units)


def can_we_work(facts: SheetFacts) -> Section:
    """Verdicts of each day, most exposed work first; without a day there is none."""
    blocks: list[Block] = []
    if facts.verdicts:
        asked = facts.asked_at
        blocks.append(Words(f"Asked {day_words(asked.date())}, {asked:%H:%M}."))
        order = sorted(facts.verdicts, key=lambda v: (v.day, -EXPOSURES.index(v.exposure)))
        blocks += [verdict_card(verdict, facts.mark) for verdict in order]
    else:
        blocks.append(
            Words(f"No day, so no verdict: unknown, so do not go. {ADVICE_ONLY}", strong=True)
        )
    blocks += [
        Words(f"If {day_words(one.day)} does not go: {standby_words(one)}.")
        for one in facts.standby
    ]
    if facts.on_roof and (words := wind_line(facts)):
        blocks.append(Words(words, strong=True))
    return Section("Can we work?", tuple(blocks))


def limits_obeyed(facts: SheetFacts) -> Section | None:
    """Where the verdicts' limits and the hours are from."""
    told = dict.fromkeys(source for verdict in facts.verdicts for source in verdict.sources)
    told |= dict.fromkeys(
        f"hours of {step.step.replace('_', ' ')}: {step.source or 'no source given'}"
        for step in facts.hours.steps
    )
    return Section("Where the figures are from", (Lines(tuple(told)),)) if told else None
