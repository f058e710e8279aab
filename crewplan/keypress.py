"""A person at the terminal who watches a search: shown how it goes, and Enter ends it."""

import select
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewplan.running.watching import Watch
    from crewplan.scheduling.engines import SoFar


def how_far(known: "SoFar") -> str:
    """Price and gap in one line."""
    return f"best so far {known.price / 100:,.2f}, at most {100 * known.gap:.2f} % above the best"


def _pressed() -> bool:
    """Whether Enter was pressed; what was typed is taken."""
    try:
        if select.select([sys.stdin], [], [], 0)[0]:
            return bool(sys.stdin.readline())
    except (OSError, ValueError):
        pass  # no terminal of the kind that can be asked; Ctrl-C ends the search all the same
    return False


@contextmanager
def watched(words: str, *, ctrl_c_keeps: bool) -> Iterator["Watch"]:
    """Watch a search on stderr; nobody is shown anything where that is no terminal.

    Args:
        words: what is being done.
        ctrl_c_keeps: Ctrl-C ends the search and keeps its best, as Enter does.
    """
    from crewplan.running.watching import Watch

    asks = sys.stdin is not None and sys.stdin.isatty()
    ended = False

    def stopped() -> bool:
        nonlocal ended
        ended = ended or (asks and _pressed())
        return ended

    if sys.stderr is None or not sys.stderr.isatty():
        yield Watch(stopped=stopped, ctrl_c_keeps=ctrl_c_keeps)
        return
    from rich.console import Console

    with Console(stderr=True).status(words) as status:
        enough = "; Enter: good enough" if asks else ""

        def tell(known: "SoFar") -> None:
            status.update(f"{words} {how_far(known)}{enough}")

        yield Watch(tell, stopped, ctrl_c_keeps)
