"""On which line of a settings file a key stands, for people to find it."""

import re
from collections.abc import Sequence
from functools import lru_cache

_HEADER = re.compile(r"\s*\[([^\[\]]*)\]")
_KEY = re.compile(r"\s*([A-Za-z0-9_.\"'-]+)\s*=")
_ERROR = re.compile(r"at line (\d+)")


def _plain(dotted: str) -> tuple[str, ...]:
    return tuple(part.strip().strip("\"'") for part in dotted.split("."))


@lru_cache(maxsize=1)
def _lines(text: str) -> dict[tuple[str, ...], int]:
    """The first line of each table and key."""
    table: tuple[str, ...] = ()
    found: dict[tuple[str, ...], int] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        header, key = _HEADER.match(line), _KEY.match(line)
        if header:
            table = here = _plain(header[1].strip())
        elif key:
            here = (*table, *_plain(key[1]))
        else:
            continue
        found.setdefault(here, number)
    return found


def line_of(text: str, path: Sequence[str]) -> int | None:
    """The line of the key with this path, or of what holds it; None: nowhere."""
    known = _lines(text)
    around = (tuple(path[:depth]) for depth in range(len(path), 0, -1))
    return next((known[here] for here in around if here in known), None)


def line_of_error(error: Exception) -> int | None:
    """The line that the reader of settings names, if it names one."""
    found = _ERROR.search(str(error))
    return int(found[1]) if found else None
