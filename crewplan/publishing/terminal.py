"""Tables for a terminal: as wide as it is, but no word is ever cut; one line a row where there is
none."""

import io
import shutil
import sys
from collections.abc import Iterable, Sequence

from rich import box
from rich.console import Console
from rich.table import Table

_WIDE = 100_000
"""Columns where the output is a file or a pipe: nothing is wrapped or cut."""


def table_text(columns: Sequence[str], rows: Iterable[Sequence[str]], title: str = "") -> str:
    """A table as plain text, with a rule under its header."""
    on_screen = sys.stdout is not None and sys.stdout.isatty()
    table = Table(
        *columns, box=box.SIMPLE_HEAD, title=title or None, title_justify="left", pad_edge=False
    )
    for row in rows:
        table.add_row(*row)
    out = io.StringIO()
    console = Console(file=out, width=_WIDE, markup=False, highlight=False, emoji=False)
    if on_screen:
        least = console.measure(table).minimum + 1  # one column more than rich says it takes
        console.width = max(shutil.get_terminal_size().columns, least)
    console.print(table)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines())
