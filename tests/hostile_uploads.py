"""Hostile uploads by number: always the same one, and what became of it.

Each goes through what `crewplan import` and the board's page use: a folder is read, or sent files
are read beside a branch that stands, and what is read is held against the database.
"""

import io
import os
import socket
import time
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from random import Random

from hostile_books import BOOK_KINDS, parts_of, plain_book
from hostile_settings import SETTINGS_KINDS
from hostile_tables import TABLE_KINDS

from crewplan.intake import InputFaults, OwnTables, read_own_tables
from crewplan.intake.brought import BroughtFile, read_brought
from crewplan.intake.file_limits import SENTENCE_CHARACTERS
from crewplan.running.demo import demo_folder
from crewplan.store.connecting import Store, open_store
from crewplan.store.import_text import change_lines, stuck_lines
from crewplan.store.importing import accept, look_at
from crewplan.store.place import place_of

_LONG = frozenset({"weather", "weather_past", "hours_worked", "lead_times", "progress"})
_ROWS_KEPT = 30
LONGEST_SENTENCE = SENTENCE_CHARACTERS + 1
LONGEST_S = 10.0
"""Of a processor for one upload (assumed: what somebody at a page still waits for)."""
_NAMES = (
    "../../etc/passwd",
    "..\\..\\boot.ini",
    "/etc/passwd",
    "C:\\jobs.csv",
    "jobs.csv\0.txt",
    "jobs.csv/",
    "jobs.csv\n",
    "JOBS.CSV",
    " jobs.csv ",
    "jobs (1).csv",
    "con",
    "NUL.csv",
    "aux.csv",
    "." * 300,
    "x" * 5000 + ".csv",
    "\u202evsc.sboj",
    "jobs\u200b.csv",
    "\x1b[2Jjobs.csv",
    "jobs.csv.exe",
    "",
    "~/jobs.csv",
    "%2e%2e%2fjobs.csv",
    "jobs.xls",
    "jobs.xlsm",
    "branch.toml.csv",
    ".csv",
    "weather.CSV",
    "..",
    ".",
    "a/../jobs.csv",
    "file:jobs.csv",
    "jobs.csv:stream",
    "\udcff.csv",
    "crewplan.db",
)


@dataclass(frozen=True, slots=True)
class Ground:
    """What uploads are made from, and stand against."""

    files: Mapping[str, bytes]
    """The demo's tables and settings, long ones cut."""
    own: OwnTables
    store: Store
    parts: Mapping[str, bytes]
    """Of a workbook of the same tables."""
    folder: Path


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one upload."""

    kind: str
    word: str
    """read, refused or faults."""
    sentences: tuple[str, ...]
    seconds: float
    """Of the processor, so that a busy machine fails nobody."""


def ground(folder: Path) -> Ground:
    """A small copy of the demo, in a database too."""
    files: dict[str, bytes] = {}
    for path in sorted(demo_folder().iterdir()):
        text = path.read_text(encoding="utf-8") if path.suffix in (".csv", ".toml") else ""
        lines = text.partition("[demo]")[0].splitlines(keepends=True)
        if lines:
            kept = lines[:_ROWS_KEPT] if path.stem in _LONG else lines
            files[path.name] = "".join(kept).encode()
    right = _laid(folder / "right", files)
    own = read_own_tables(right)
    store = open_store(place_of(right), create=True)
    with store.write() as connection:
        accept(connection, look_at(connection, own), "ann", datetime(2026, 5, 3, tzinfo=UTC))
    tables = {name.removesuffix(".csv"): text for name, text in files.items() if "csv" in name}
    return Ground(files, own, store, parts_of(plain_book(tables)), folder)


def _laid(folder: Path, files: Mapping[str, bytes]) -> Path:
    folder.mkdir()
    for name, contents in files.items():
        (folder / name).write_bytes(contents)
    return folder


def _pipe(path: Path) -> None:
    os.mkfifo(path)


def _socket(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as one:
        one.bind(str(path))


def _loop(path: Path) -> None:
    path.symlink_to(path.name)


_THINGS: tuple[Callable[[Path], None], ...] = (
    Path.mkdir, _pipe, _socket, _loop,
    lambda path: path.symlink_to("/dev/zero"), lambda path: path.symlink_to("/nowhere"),
    lambda path: path.symlink_to("/etc"), lambda path: path.symlink_to("/proc/self/mem"),
    lambda path: path.symlink_to("/dev/tty"),
)  # fmt: skip


def _odd_folder(rng: Random, ground: Ground, folder: Path) -> None:
    name = rng.choice([*ground.files, "tables.xlsx", "notes.csv"])
    (folder / name).unlink(missing_ok=True)
    rng.choice(_THINGS)(folder / name)
    if rng.random() < 0.3:
        (folder / "Jobs.CSV").write_bytes(ground.files["jobs.csv"])
    for odd in rng.sample(("a\nb.csv", "\x1b[2J.csv", "\u202e.csv", ".hidden.csv", "~$x.xlsx"), 2):
        (folder / odd).write_bytes(b"x")
    if rng.random() < 0.2:
        with open(os.fsencode(folder) + b"/\xff\xfe.csv", "wb"):
            pass


def _table(rng: Random, ground: Ground) -> str:
    return rng.choice([name for name in ground.files if name.endswith(".csv")])


def _sent(ground: Ground, files: list[tuple[str, bytes]], beside: bool) -> OwnTables:
    brought = [BroughtFile(name, io.BytesIO(contents)) for name, contents in files]
    return read_brought(brought, ground.own if beside else None)


def _family(rng: Random) -> str:
    return rng.choices(("table", "workbook", "settings", "names", "folder"), (50, 28, 10, 6, 6))[0]


def _read(
    rng: Random, ground: Ground, family: str, folder: Path
) -> tuple[str, Callable[[], OwnTables]]:
    """The kind of an upload, and the way in which it is read."""
    by_page = rng.random() < 0.6
    if family == "folder":
        _odd_folder(rng, ground, _laid(folder, ground.files))
        return "a folder with odd things in it", lambda: read_own_tables(folder)
    if family == "names":
        names = [rng.choice(_NAMES) for _ in range(rng.randrange(1, 4))]
        files = [(name, ground.files["jobs.csv"]) for name in names]
        return "names of files", lambda: _sent(ground, files, True)
    if family == "table":
        kind, name = rng.choice(list(TABLE_KINDS)), _table(rng, ground)
        contents = TABLE_KINDS[kind](rng, ground.files[name])
    elif family == "settings":
        kind, name = rng.choice(list(SETTINGS_KINDS)), "branch.toml"
        contents = SETTINGS_KINDS[kind](rng, ground.files[name])
    else:
        kind, name = rng.choice(list(BOOK_KINDS)), "tables.xlsx"
        contents = BOOK_KINDS[kind](rng, dict(ground.parts))
    if by_page:
        return f"{family}: {kind}", lambda: _sent(ground, [(name, contents)], True)
    around = {} if family == "workbook" else dict(ground.files)
    if family == "workbook":
        around["branch.toml"] = ground.files["branch.toml"]
    _laid(folder, {**around, name: contents})
    return f"{family}: {kind}", lambda: read_own_tables(folder)


def upload(number: int, ground: Ground, seed: int = 4) -> Outcome:
    """Make the upload of a number, and bring it in as far as acceptance.

    Anything but a sentence is raised as it comes.
    """
    rng = Random(f"{seed} {number}")
    kind, read = _read(rng, ground, _family(rng), ground.folder / f"u{number}")
    began = time.process_time()
    try:
        own = read()
        with ground.store.read() as connection:
            draft = look_at(connection, own, brought=own.brought)
        told = (*draft.warnings, *change_lines(draft), *stuck_lines(draft))
        word = "read"
    except InputFaults as faults:
        told = (*(fault.sentence() for fault in faults.faults), *faults.warnings)
        word = "faults"
    return Outcome(kind, word, told, time.process_time() - began)


def unfit(sentence: str) -> bool:
    """Whether a sentence is no single line of moderate length that can be shown anywhere."""
    steers = any(unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") for c in sentence)
    turns = any("\u202a" <= c <= "\u202e" or "\u2066" <= c <= "\u2069" for c in sentence)
    return steers or turns or not 0 < len(sentence) <= LONGEST_SENTENCE
