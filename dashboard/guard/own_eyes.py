"""What the board shows to one person: all of it, or only their crews, without money."""

from weakref import WeakKeyDictionary

from crewplan.model.account import Actor
from crewplan.running.board_view import BoardView
from crewplan.running.own_view import own_view

_MADE: WeakKeyDictionary[BoardView, dict[frozenset[str], BoardView]] = WeakKeyDictionary()
"""Kept while the view itself is shown: taking things out of five years' tables takes a while."""


def seen_by(view: BoardView, actor: Actor) -> BoardView:
    """The view as this person may know it."""
    if actor.may("see money") and actor.crews is None:
        return view
    crews = actor.crews or frozenset()
    made = _MADE.setdefault(view, {})
    if crews not in made:
        made[crews] = own_view(view, crews)
    return made[crews]
