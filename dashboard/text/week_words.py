"""Sentences of the week's page."""

from collections.abc import Mapping

from crewplan.model.placement import Reason, ReasonKind
from crewplan.model.plan import EngineName, Plan
from crewplan.publishing.day_words import day_words
from crewplan.publishing.reader import decimal
from crewplan.publishing.sentences import sentence
from crewplan.publishing.week_risks import RISK_KINDS, RiskKind
from dashboard.text.chances import count_words, listed, money_words
from dashboard.text.plain_words import plain_words

RISK_WORDS: Mapping[RiskKind, str] = {
    "not placed": "Not placed",
    "late": "Late",
    "weather": "Weather",
    "waiting": "Still waiting",
    "moved": "Moved",
    "absence": "Somebody away",
    "certificate": "Certificate runs out",
}

REASON_WORDS: Mapping[ReasonKind, str] = {
    "readiness": "Not ready",
    "material": "Material",
    "weather": "Weather",
    "people": "People",
    "certificate": "Certificate",
    "equipment": "Equipment",
    "order": "Another stage first",
    "customer": "Customer's days",
    "inspections": "Inspections",
    "capacity": "No room",
    "overtime": "Longer days needed",
    "price": "Dearer than later",
    "horizon": "Past the last day",
    "pin": "Published day",
}

_ENGINE_WORDS: Mapping[EngineName, str] = {
    "highs": "HiGHS",
    "cp-sat": "CP-SAT",
    "brute force": "trying every plan",
    "rule of thumb": "the rule of thumb",
}


def reason_words(reason: Reason) -> str:
    """'permit open, from Mon 4 May until Wed 6 May'."""
    words = plain_words(reason.detail)
    if reason.from_on is not None:
        words += f", from {day_words(reason.from_on)}"
    if reason.until_on is not None:
        words += f" until {day_words(reason.until_on)}"
    return sentence(words)


def week_summary(plan: Plan) -> str:
    """How much is placed, and how sure of it the plan is."""
    days = plan.horizon.days
    firm = sum(planned.firm for planned in plan.planned)
    total = len(plan.planned) + len(plan.unplaced)
    broken = sum(unplaced.answer_is_no for unplaced in plan.unplaced)
    words = (
        f"{len(plan.planned)} of {count_words(total, 'stage')} are placed from"
        f" {day_words(days[0])} to {day_words(days[-1])}:"
        f" {firm} firm, {len(plan.planned) - firm} pencilled."
    )
    if plan.unplaced:
        words += f" {count_words(len(plan.unplaced), 'is', 'are')} not placed"
        words += (
            f", {broken} of them promised or published." if broken else ", none of them promised."
        )
    return words


def _thumb_words(plan: Plan, currency: str) -> tuple[str, ...]:
    if plan.rule_of_thumb is None:
        return ()
    saved = plan.rule_of_thumb - plan.objective
    if saved <= 0:
        return ("Going by the earliest promise, with the next free crew that may, costs the same.",)
    return (
        f"Going by the earliest promise, with the next free crew that may, would cost"
        f" {money_words(plan.rule_of_thumb, currency)}:"
        f" {money_words(saved, currency)} more.",
    )


def price_sentences(plan: Plan, currency: str) -> tuple[str, ...]:
    """What the plan is priced at, what is proven, and what the rule of thumb would cost."""
    objective, bound = plan.objective, plan.bound
    at_most = objective - bound
    proof = (
        "No plan costs less: this one is proven the cheapest."
        if at_most <= 0
        else (
            f"No plan can cost less than {money_words(bound, currency)}: at most"
            f" {decimal(plan.gap * 100, 2)} % could still be saved."
        )
    )
    return (
        f"This plan is priced at {money_words(objective, currency)}; lower is better.",
        proof,
        *_thumb_words(plan, currency),
        f"Worked out by {_ENGINE_WORDS[plan.engine]} and passed by a checker of its own.",
    )


def halves_words(halves: str, day_number: int, days: int, part: str = "") -> str:
    """'all day, day 2 of 3', and 'part 1 of 2' of a job that is left open in between."""
    words = {"am": "morning", "pm": "afternoon"}.get(halves, halves)
    counted = f"day {day_number} of {days}" if days > 1 else ""
    return ", ".join(filter(None, (words, counted, part)))


def kinds_counted(kinds: list[RiskKind]) -> str:
    """'2 not placed, 1 late and 4 weather', the worst kind first."""
    return listed(
        [f"{kinds.count(kind)} {RISK_WORDS[kind].lower()}" for kind in RISK_KINDS if kind in kinds]
    )
