"""How a cell's text is read: one small function for each kind of value.

Each returns the value or raises `Unreadable`; what the text should have been is told by the
column (`Field.expected`), so `Unreadable` only carries what is special about the text.
"""

import re
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from typing import Any

from crewplan.intake.faults import quoted
from crewplan.intake.fields import Field, Kind
from crewplan.model.characters import control_in

_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,3})?")
_THOUSANDS = re.compile(r"[+-]?[0-9]{1,3}([, '_\u00a0\u2009\u202f][0-9]{3})+(\.[0-9]+)?")
_DECIMAL_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_NOT_FINITE = {"nan", "inf", "infinity", "+inf", "-inf", "+infinity", "-infinity"}
_DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_INSTANT = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(:[0-9]{2}([.,][0-9]+)?)?"
    r"(?P<offset>Z|z|[+-][0-9]{2}:?[0-9]{2})?"
)
_LARGEST = 1e12
_YEARS = range(1970, 2200)
_FARTHEST_OFFSET = timedelta(hours=14)
_YES_NO = {"yes": True, "no": False, "true": True, "false": False}


_RUN = r"[=+\-@\t\r\n＝＋－＠]"
"""Beginnings that a spreadsheet may take for a formula; the wide ones in East Asian settings."""
_MARKED = re.compile(f"'+{_RUN}")
_RUNS = re.compile(f"'*{_RUN}")


def marked(text: str) -> str:
    """A text that no spreadsheet takes for a formula: `'` in front of `=`, `+`, `-`, `@` and such.

    `unmarked` gives the text back, whatever it was.
    """
    return f"'{text}" if _RUNS.match(text) else text


def unmarked(text: str) -> str:
    """The text that `marked` was given."""
    return text[1:] if _MARKED.match(text) else text


class Unreadable(ValueError):
    """A text that is no value of its kind; says what is special about it, or nothing."""


def number(text: str) -> float:
    """A finite number with a decimal point and nothing between its digits."""
    if _NUMBER.fullmatch(text):
        value = float(text)
        if abs(value) >= _LARGEST:
            raise Unreadable(f"{quoted(text)} is too large to be meant")
        return value
    if text.lower() in _NOT_FINITE:
        raise Unreadable(f"{quoted(text)} is not a finite number")
    if _THOUSANDS.fullmatch(text):
        raise Unreadable(f"{quoted(text)} has a thousands separator")
    if _DECIMAL_COMMA.fullmatch(text):
        raise Unreadable(f"{quoted(text)} has a decimal comma where a point belongs")
    raise Unreadable


def whole_number(text: str) -> int:
    """A whole number; `3.0`, as spreadsheets write it, is one."""
    value = number(text)
    if value != int(value):
        raise Unreadable
    return int(value)


def day(text: str) -> date:
    """A calendar day, ISO 8601."""
    form = _DAY.fullmatch(text)
    if form is None:
        raise Unreadable
    year, month, number_of_day = (int(part) for part in form.groups())
    try:
        found = date(year, month, number_of_day)
    except ValueError:
        raise Unreadable(f"{quoted(text)} is a day that does not exist") from None
    if year not in _YEARS:
        raise Unreadable(f"{quoted(text)} is a year that cannot be meant")
    return found


def instant(text: str) -> datetime:
    """A time with its UTC offset, ISO 8601."""
    form = _INSTANT.fullmatch(text)
    if form is None:
        raise Unreadable
    if form["offset"] is None:
        raise Unreadable(f"{quoted(text)} has no UTC offset")
    try:
        found = datetime.fromisoformat(text.upper())
    except ValueError:
        raise Unreadable(f"{quoted(text)} is a time that does not exist") from None
    offset = found.utcoffset()
    if offset is None or abs(offset) > _FARTHEST_OFFSET:
        raise Unreadable(f"{quoted(text)} has a UTC offset that no place has")
    if found.year not in _YEARS:
        raise Unreadable(f"{quoted(text)} is a year that cannot be meant")
    return found


def time_of_day(text: str) -> time:
    """A local time of day without offset."""
    try:
        found = time.fromisoformat(text)
    except ValueError:
        raise Unreadable from None
    if found.tzinfo is not None:
        raise Unreadable
    return found


def yes_no(text: str) -> bool:
    """yes or no; also true or false, as spreadsheets write a ticked box."""
    try:
        return _YES_NO[text.lower()]
    except KeyError:
        raise Unreadable from None


_OTHER_WORDS = {
    "module": "modules",
    "attachment": "attachments",
    "rail_length": "rail_m",
    "rail_length_m": "rail_m",
    "row": "rows",
    "plane": "planes",
    "storey": "storeys",
    "days_on_site": "days",
}
"""Drivers as people say them -> the word of the tables."""


def choice(text: str) -> str:
    """A word of a fixed set: small letters, `_` for blanks."""
    word = "_".join(text.lower().replace("-", " ").split())
    return _OTHER_WORDS.get(word, word)


def parts(text: str) -> tuple[str, ...]:
    """The pieces between `;`, each once, empty ones left out."""
    return tuple(dict.fromkeys(piece for piece in map(str.strip, text.split(";")) if piece))


def choices(text: str) -> tuple[str, ...]:
    """Words of a fixed set between `;`; equal ones all count."""
    return tuple(choice(piece) for piece in map(str.strip, text.split(";")) if piece)


def whole_numbers(text: str) -> tuple[int, ...]:
    """Whole numbers between `;`; equal ones all count."""
    return tuple(whole_number(piece) for piece in map(str.strip, text.split(";")) if piece)


def span(text: str) -> tuple[date, date]:
    """One day, or the first and last day with `..` between."""
    first, dots, last = text.partition("..")
    begin = day(first.strip())
    end = day(last.strip()) if dots else begin
    if end < begin:
        raise Unreadable(f"{quoted(text)} ends before it begins")
    return begin, end


_READERS: dict[Kind, Callable[[str], Any]] = {
    "text": str,
    "choice": choice,
    "number": number,
    "whole number": whole_number,
    "day": day,
    "time with UTC offset": instant,
    "time of day": time_of_day,
    "yes/no": yes_no,
    "texts": parts,
    "choices": choices,
    "whole numbers": whole_numbers,
    "days": lambda text: tuple(map(day, parts(text))),
    "spans of days": lambda text: tuple(map(span, parts(text))),
}


def read_kind(kind: Kind, text: str) -> Any:
    """The value of a text that stands for itself, without an export's mark.

    Raises:
        Unreadable: where the text is no value of the kind.
    """
    return _READERS[kind](text)


def read(field: Field, text: str) -> Any:
    """The value of a cell that is not empty.

    Raises:
        Unreadable: where the text is no value of the field's kind.
    """
    if field.takes_none and text.lower() == "none":
        return None
    control = control_in(text)
    if control:
        raise Unreadable(f"{quoted(text)} holds the control character {control}")
    if field.kind == "texts":
        return tuple(map(unmarked, parts(text)))
    return read_kind(field.kind, unmarked(text) if field.kind == "text" else text)
