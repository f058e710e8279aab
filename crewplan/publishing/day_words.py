"""Days as people say them."""

from datetime import date

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def day_words(day: date) -> str:
    """'Mon 4 May': short, in English whatever the machine's language is set to."""
    return f"{_WEEKDAYS[day.weekday()][:3]} {day.day} {_MONTHS[day.month - 1][:3]}"


def long_day_words(day: date) -> str:
    """'Monday 4 May 2026'."""
    return f"{_WEEKDAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"
