"""Who asks for the page or sends the entry that is being answered."""

from flask import g

from crewplan.model.account import Actor


def answer_to(actor: Actor) -> None:
    """Set, before a request is answered, who asks."""
    g.actor = actor


def asking() -> Actor:
    """Who asks.

    Raises:
        AttributeError: nothing has set it; a page then fails shut instead of answering anybody.
    """
    actor: Actor = g.actor
    return actor
