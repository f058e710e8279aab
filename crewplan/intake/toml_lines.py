"""On which line of a settings file a key stands, for people to find it."""

import re
import tomllib
from collections.abc import Sequence

_HEADER = re.compile(r"\s*\[\s*([^\[\]]+?)\s*\]")
_KEY = re.compile(r"\s*([A-Za-z0-9_.\"'-]+)\s*=")
_ERROR = re.compile(r"at line (\d+)")


def _plain(dotted: str) -> tuple[str, ...]:
    return tuple(part.strip().strip("\"'") for part in dotted.split("."))


def line_of(text: str, path: Sequence[str]) -> int | None:
    """The line of the key with this path, or of what holds it; None: nowhere."""
    table: tuple[str, ...] = ()
    best, depth = None, 0
    for number, line in enumerate(text.splitlines(), start=1):
        header, key = _HEADER.match(line), _KEY.match(line)
        if header:
            table = _plain(header[1])
            here = table
        elif key:
            here = (*table, *_plain(key[1]))
        else:
            continue
        if len(here) > depth and tuple(path[: len(here)]) == here:
            best, depth = number, len(here)
    return best


def line_of_error(error: tomllib.TOMLDecodeError) -> int | None:
    """The line that the reader of settings names, if it names one."""
    found = _ERROR.search(str(error))
    return int(found[1]) if found else None
