"""What commands share: exit codes, faults of the call, options, and how answers are printed."""

import codecs
import io
import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any
from uuid import uuid4

import typer

from crewplan.model.characters import visible

if TYPE_CHECKING:
    from crewplan.model.branch import Branch
    from crewplan.running.clock import Clock

EXIT_NO = 1
EXIT_INPUT = 2
EXIT_OUTSIDE = 3
EXIT_USAGE = 64


class Format(StrEnum):
    """How an answer is printed."""

    table = "table"
    json = "json"
    csv = "csv"


class EngineChoice(StrEnum):
    """Which solver answers; both answer the same problem, `auto` takes the quicker by its size."""

    auto = "auto"
    highs = "highs"
    cp_sat = "cp-sat"


class UsageFault(Exception):
    """The words of the call are off; the text is one sentence."""


class OutsideFault(Exception):
    """A port, a disk or a feed failed; the text is one sentence."""


FIRST_YEAR, LAST_YEAR = 1970, 2199
"""Of any day or time of a call: further off, days beside it would leave the calendar."""


def day_of(text: str) -> date:
    """A day of the call.

    Raises:
        UsageFault: where it is none, or further off than anybody plans.
    """
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise UsageFault(f"{text!r} is not a day; expected one such as 2026-05-04") from None
    _near(day, text)
    return day


def _near(day: date, text: str) -> None:
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise UsageFault(f"{text!r} is not in the years {FIRST_YEAR} to {LAST_YEAR}")


def instant_of(text: str) -> datetime:
    """The instant of `--now`.

    Raises:
        UsageFault: where it is none, has no offset, or is further off than anybody plans.
    """
    try:
        instant = datetime.fromisoformat(text)
    except ValueError:
        raise UsageFault(
            f"--now {text!r} is not a time; expected one such as 2026-05-03T18:00:00-05:00"
        ) from None
    if instant.tzinfo is None:
        raise UsageFault(
            f"--now {text!r} has no UTC offset; expected one such as 2026-05-03T18:00:00-05:00"
        )
    _near(instant, text)
    return instant


Folder = Annotated[
    str,
    typer.Argument(metavar="FOLDER", help="A branch folder, or the address of its database."),
]
Now = Annotated[
    str | None,
    typer.Option("--now", metavar="TIME", help="Set the clock by hand (ISO 8601 with offset)."),
]
Shape = Annotated[Format, typer.Option("--format", help="How the answer is printed.")]
FromDay = Annotated[
    str | None,
    typer.Option("--from", metavar="DAY", help="First day planned [the next working day]."),
]
Days = Annotated[int, typer.Option("--days", min=1, max=60, help="Working days planned.")]
By = Annotated[
    str | None,
    typer.Option("--by", metavar="NAME", help="Who does it [the name that you are logged in by]."),
]

Engine = Annotated[EngineChoice, typer.Option("--engine", help="Which solver answers.")]
Seconds = Annotated[
    float, typer.Option("--seconds", min=0.5, max=3600, help="Longest time for the solver.")
]

Repair = Annotated[
    bool,
    typer.Option(
        "--repair", help="Keep what still stands of the published plan; place only what broke."
    ),
]


def read(folder: str, by_hand: str | None) -> "tuple[Branch, Clock]":
    """The branch and its clock; `by_hand` is what `--now` says."""
    from crewplan.running.clock import read_clock
    from crewplan.store.reading import read_branch

    now = instant_of(by_hand) if by_hand else None
    branch = read_branch(folder, now)
    return branch, read_clock(branch.settings, now)


def read_open(
    folder: str, by_hand: str | None, *, jobs: tuple[str, ...] = (), stages: tuple[str, ...] = ()
) -> "tuple[Branch, Clock]":
    """As `read`, from a database without finished jobs but those asked for: enough for a plan."""
    from crewplan.running.clock import read_clock
    from crewplan.store.reading import read_open_branch

    now = instant_of(by_hand) if by_hand else None
    branch = read_open_branch(folder, now, jobs=jobs, stages=stages)
    return branch, read_clock(branch.settings, now)


def say(text: str) -> None:
    """An answer on stdout, its last line ended.

    A reader who stops reading changes no answer: the exit code still tells it.

    Raises:
        OutsideFault: where it cannot be written.
    """
    if sys.stdout is None:
        return
    if sys.stdout.isatty():  # a file gets each letter as it is; a terminal would obey some
        text = visible(text)
    try:
        sys.stdout.write(text if text.endswith("\n") else text + "\n")
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except OSError as error:
        # what is left in the buffer must not fail again at the program's end
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise OutsideFault(f"the answer could not be printed ({error.strerror})") from None


def write_whole(path: Path, data: bytes) -> None:
    """A file, whole or not at all, also over one that is there.

    Raises:
        OutsideFault: where it cannot be written.
    """
    fresh = path.with_name(f".{path.name}.{uuid4().hex}")
    try:
        fresh.write_bytes(data)
        os.replace(fresh, path)
    except OSError as error:
        with suppress(OSError):
            fresh.unlink()
        raise OutsideFault(f"{path} could not be written ({error.strerror})") from None


def complain(line: str) -> None:
    """A line on stderr, if anybody listens there."""
    with suppress(AttributeError, OSError):
        sys.stderr.write(visible(line) + "\n")
        sys.stderr.flush()


def warn(sentences: tuple[str, ...]) -> None:
    """Warnings on stderr, a line each."""
    for sentence in sentences:
        complain(f"warning: {sentence}")


def mark_clock(clock: "Clock", shape: Format) -> None:
    """Beside an answer for machines, which carries the mark in its own words, a line for people."""
    if clock.mark and shape is not Format.table:
        complain(clock.mark)


def as_json(value: Any) -> str:
    """A value as JSON for people and programs."""
    return json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False)


def print_json(value: Any) -> None:
    """An answer as JSON."""
    say(as_json(value))


def any_letters() -> None:
    """Let stdout and stderr take all letters, as escapes where their encoding has none for one."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            plain = codecs.lookup(stream.encoding).name == "ascii"
            stream.reconfigure(
                encoding="utf-8" if plain else stream.encoding, errors="backslashreplace"
            )


@contextmanager
def progress(words: str) -> Iterator[None]:
    """Words while something takes long; nothing where the output is no terminal."""
    if sys.stderr is None or not sys.stderr.isatty():
        yield
        return
    from rich.console import Console

    with Console(stderr=True).status(words):
        yield


def person(by: str | None) -> str:
    """Who does it, for the record."""
    if by is not None and by.strip():
        return by.strip()
    from crewplan.running.os_user import os_user

    return os_user()
