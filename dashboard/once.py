"""What is the same for everybody who is shown a look is made once, not at each request.

A week of 40 crews costs a tenth of a second; the third person to ask need not pay it again.
"""

from collections.abc import Callable
from datetime import datetime
from threading import RLock
from typing import Any, TypeVar
from weakref import WeakKeyDictionary

from dash.development.base_component import Component

from crewplan.running.board_view import BoardView
from dashboard.kept import KEPT, Kept
from dashboard.plain_html import element, to_html
from dashboard.quiet import as_text, has_figure, quiet

_Value = TypeVar("_Value")
_Part = TypeVar("_Part", bound=Component)

_MAKING = RLock()
"""One at a time: whoever waits for what another makes need not make it too."""
_MADE: WeakKeyDictionary[BoardView, dict[str, tuple[Any, Any]]] = WeakKeyDictionary()


def times_passed(view: BoardView, now: datetime) -> int:
    """How many of the look's times have passed after which something on it counts as unknown."""
    times = [verdict.void_after for verdict in view.verdicts]
    times.append(view.chances_void_after)
    return sum(void_after is not None and now > void_after for void_after in times)


def remembered(view: BoardView, name: str, stamp: Any, make: Callable[[], _Value]) -> _Value:
    """What was made before, if it was made with the same stamp.

    Args:
        view: whose it is; with it, it is forgotten.
        name: what it is.
        stamp: all that it depends on besides the view.
        make: makes it.
    """
    made = _MADE.setdefault(view, {})
    if (known := _known(made, name, stamp)) is None:
        with _MAKING:
            known = _known(made, name, stamp)
            if known is None:
                known = made[name] = (stamp, make())
    value: _Value = known[1]
    return value


def _known(made: dict[str, tuple[Any, Any]], name: str, stamp: Any) -> tuple[Any, Any] | None:
    known = made.get(name)
    same = known is not None and (known[0] is stamp or known[0] == stamp)
    return known if same else None


def once(view: BoardView, name: str, stamp: Any, make: Callable[[], _Part]) -> _Part:
    """As `remembered`, a part of a page, in the shapes too in which it is sent."""

    def shaped() -> _Part:
        part = make()
        inner = to_html(getattr(part, "children", None))
        drawn = has_figure(part)
        KEPT[part] = Kept(
            element(part, inner), quiet(part) if drawn else as_text(part, inner), drawn
        )
        return part

    return remembered(view, name, stamp, shaped)
