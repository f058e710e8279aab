"""Tables for a terminal: as wide as it is, and never cut where there is none."""

import io
import shutil
import sys
from collections.abc import Iterable, Sequence

from rich import box
from rich.console import Console
from rich.table import Table

_WIDE = 1000
"""Columns where the output is a file or a pipe: nothing is wrapped or cut."""


def table_text(columns: Sequence[str], rows: Iterable[Sequence[str]], title: str = "") -> str:
    """A table as plain text, with a rule under its header."""
    width = shutil.get_terminal_size().columns if sys.stdout.isatty() else _WIDE
    table = Table(
        *columns, box=box.SIMPLE_HEAD, title=title or None, title_justify="left", pad_edge=False
    )
    for row in rows:
        table.add_row(*row)
    out = io.StringIO()
    Console(file=out, width=width, markup=False, highlight=False, emoji=False).print(table)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines())
