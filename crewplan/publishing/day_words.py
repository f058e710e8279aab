"""Days as people say them."""

from datetime import date

from crewplan.publishing.reader import day_by, reader

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def day_words(day: date) -> str:
    """'Mon 4 May': short, in English whatever the machine's language is set to; by a reader's
    locale where one is set.
    """
    if reader():
        return day_by(reader(), day)
    return f"{_WEEKDAYS[day.weekday()][:3]} {day.day} {_MONTHS[day.month - 1][:3]}"


def long_day_words(day: date) -> str:
    """'Monday 4 May 2026', or by a reader's locale."""
    if reader():
        return day_by(reader(), day, long=True)
    return f"{_WEEKDAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"
