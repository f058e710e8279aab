"""What time, moves and promises are worth, where no table of the branch says so."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Price:
    """One figure of the price of a plan; money is in the branch's currency."""

    name: str
    amount: float
    unit: str
    meaning: str
    source: str


PRICES: tuple[Price, ...] = (
    Price(
        "waiting",
        30.0,
        "a day and job",
        "each calendar day from now until a stage ends, split over the job's open stages",
        "assumed: small against travel, so that early work is a little cheaper",
    ),
    Price(
        "late day",
        120.0,
        "a day and job",
        "each calendar day that a stage ends after the promise, split as above",
        "chosen on replayed years (DEVELOPERS, 'Replay'), from 60",
    ),
    Price(
        "late day squared",
        12.0,
        "a day squared and job",
        "times the square of the days late, so that nobody is left behind for long",
        "chosen on replayed years, from 6; a linear price made one wait very long in a trial",
    ),
    Price(
        "move",
        400.0,
        "a move",
        "a published stage on another day, where its published day is today",
        "chosen on replayed years (DEVELOPERS, 'Replay'): a call, a new date, kit loaded again",
    ),
    Price(
        "move fades",
        4.0,
        "days",
        "a move costs half where the published day is so many calendar days away",
        "chosen on replayed years, as above",
    ),
    Price("half-day move", 0.5, "of a move", "same day, other half-day", "assumed"),
    Price("crew move", 0.3, "of a move", "another crew than published", "assumed"),
    Price(
        "later by",
        7.0,
        "days",
        "a stage left out is priced as ending so long after the last day planned",
        "assumed",
    ),
    Price(
        "left for later",
        200.0,
        "a stage",
        "leaving out a stage that could be placed: it is planned again, and told of again",
        "assumed: with less, crews stand idle beside work that is a little cheaper elsewhere",
    ),
    Price(
        "early",
        0.12,
        "of waiting",
        "each calendar day that a stage ends before its promise, as a share of a day's waiting",
        "0.10 to 0.15 in a trial: what is not urgent leaves the first days to what is",
    ),
    Price("middle priority", 2.0, "priority", "the priority at which prices hold", "assumed"),
)

AMOUNT: dict[str, float] = {price.name: price.amount for price in PRICES}


def priority_weight(priority: int) -> float:
    """How much more a job's days count than those of the middle priority: 1.5, 1, 0.75 ..."""
    return (AMOUNT["middle priority"] + 1.0) / (priority + 1.0)


def cents(amount: float) -> int:
    """Whole cents of an amount in the branch's currency: the one place where money is rounded."""
    return round(amount * 100)
