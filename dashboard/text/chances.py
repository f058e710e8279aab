"""Chances and amounts in plain words."""

from crewplan.model.chance import whole_percent
from crewplan.publishing.reader import decimal


def chance_words(share: float) -> str:
    """'93 in 100', rounded down so that no chance looks better than it is."""
    return f"{whole_percent(share)} in 100"


def hours_words(hours: float) -> str:
    """'12.5 h'; no decimals from a hundred on."""
    return f"{decimal(hours, 0)} h" if hours >= 99.95 else f"{decimal(hours, 1)} h"


def money_words(cents: int, currency: str) -> str:
    """'12,345 USD'."""
    return f"{decimal(cents / 100, 0)} {currency}"


def count_words(count: int, one: str, many: str = "") -> str:
    """'1 stage', '3 stages'."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def listed(words: tuple[str, ...] | list[str]) -> str:
    """'a, b and c'."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
