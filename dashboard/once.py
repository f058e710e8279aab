"""What is the same for everybody who is shown a look is made once, not at each request.

A week of 40 crews costs a tenth of a second; the third person to ask need not pay it again.
"""

from collections.abc import Callable
from datetime import datetime
from typing import Any
from weakref import WeakKeyDictionary

from dash import html

from crewplan.running.board_view import BoardView
from dashboard.kept import KEPT, Kept
from dashboard.plain_html import to_html
from dashboard.quiet import has_figure, quiet

_MADE: WeakKeyDictionary[BoardView, dict[str, tuple[Any, html.Div]]] = WeakKeyDictionary()


def times_passed(view: BoardView, now: datetime) -> int:
    """How many of the look's times have passed after which something on it counts as unknown."""
    times = [verdict.void_after for verdict in view.verdicts]
    times.append(view.chances_void_after)
    return sum(void_after is not None and now > void_after for void_after in times)


def once(view: BoardView, name: str, stamp: Any, make: Callable[[], html.Div]) -> html.Div:
    """A part of a page: the one made before, if it was made with the same stamp.

    Args:
        view: whose part it is; with it, the part is forgotten.
        name: which part.
        stamp: all that the part depends on besides the view.
        make: makes it.
    """
    made = _MADE.setdefault(view, {})
    known = made.get(name)
    if known is not None and (known[0] is stamp or known[0] == stamp):
        return known[1]
    part = make()
    KEPT[part] = Kept(to_html(part), quiet(part), has_figure(part))
    made[name] = (stamp, part)
    return part
