"""Records in words, for the history."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from crewplan.store.cells import number_text
from crewplan.store.records import Record, RecordKind

_WORD = {"go": "GO", "no-go": "NO-GO", "unknown": "UNKNOWN"}


def _clock(text: str) -> str:
    """Hour and minute of a local instant."""
    return f"{datetime.fromisoformat(text):%H:%M}"


def _worst(worst: Mapping[str, Any]) -> str:
    name = worst["measure"].replace("_", " ")
    if worst["value"] is None:
        return f"{name} unknown"
    value = f"{name} {worst['value']:.4g}"
    limit = "" if worst["limit"] is None else f" of {worst['limit']:.4g}"
    return f"{value}{limit} {worst['unit']}".rstrip()


def _verdict(record: Record) -> tuple[str, str]:
    told = record.contents
    windows = [f"{_clock(one['start'])} to {_clock(one['end'])}" for one in told["windows"]]
    parts = [
        f"{told['exposure']} on {record.day}: {_WORD[told['verdict']]}",
        f"windows {', '.join(windows)}" if windows else told["why"],
        f"decided by {_worst(told['worst'])}" if told["worst"] else "",
        f"void after {told['void_after'][:16]}" if told["void_after"] else "",
        f"asked at {told['asked_at'][:16]} by {told['through']}",
        "clock set by hand" if told["clock"] != "now" else "",
    ]
    return "verdicts", "; ".join(filter(None, parts))


def _reading(record: Record) -> tuple[str, str]:
    told = record.contents
    if "at" not in told:
        return "readings", f"reading {record.replaces} taken back: {told['why']}"
    measured = [
        f"{name} {number_text(told[name])} {told['unit']}"
        for name in ("gust", "mean")
        if told[name] is not None
    ]
    crew = f" by crew {record.crew}" if record.crew else ""
    where = f"measured on the {told['where']} at {_clock(told['at'])}{crew}"
    again = f", in place of reading {record.replaces}" if record.replaces else ""
    return "readings", f"{', '.join(measured)}, {where}{again}"


def _tick(record: Record) -> tuple[str, str]:
    told = record.contents
    counted = f" ({told['counted']})" if told["counted"] is not None else ""
    word = "ticked" if told["ticked"] else "no longer ticked"
    return "load list", f"{told['item']}{counted} {word} for {record.day}"


def _flag(record: Record) -> tuple[str, str]:
    told = record.contents
    return "plan", (
        f"version {told['version']}, an entry into {told['table']} by {told['by']}, was made while"
        f" plan {told['plan']} was being made, which does not know of it"
    )


def _answer(record: Record) -> tuple[str, str]:
    return "hours_worked", f"asked: {record.contents['asked']} Answer: keep it."


def _expected(record: Record) -> tuple[str, str]:
    told, chances = record.contents, ("p_go", "p_finish", "p_ready")
    go, finish, ready = (f"{100 * told[name]:.0f} %" for name in chances)
    return "plan", (
        f"plan {told['plan']} expected from {record.day} with {record.crew}: weather lets it {go},"
        f" done by its last day {finish}, all in hand {ready}, {told['lost_h']:.1f} h lost"
    )


def _month(record: Record) -> tuple[str, str]:
    return "hours_worked", f"{record.contents['month']} closed"


_WORDS: Mapping[RecordKind, Callable[[Record], tuple[str, str]]] = {
    "verdict": _verdict,
    "reading": _reading,
    "tick": _tick,
    "flag": _flag,
    "answer": _answer,
    "expected": _expected,
    "month": _month,
}


def record_words(record: Record) -> tuple[str, str]:
    """What it is one of, and what it says."""
    return _WORDS[record.kind](record)
