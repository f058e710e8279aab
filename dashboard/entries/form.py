"""What a form is: its address, what it takes, what it shows, and how it is kept."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from sqlalchemy import Connection

from crewplan.model.account import Act
from dashboard.entries.asked import Asked, Values


@dataclass(frozen=True, slots=True)
class Told:
    """What is said after something was kept, where it is more than that it was."""

    words: str
    looks: Literal["kept", "stop", "no go"]
    """`stop`: work is shut, and the box says so before anything else; `no go`: nothing that could
    be taken for a go."""


@dataclass(frozen=True, slots=True)
class Form:
    """One form of the board. What its functions raise is answered by `answering.py`."""

    rule: str
    act: Act
    template: str
    facts: Callable[[Asked, Connection], Mapping[str, Any]]
    """What the page shows besides the fields: a title, where 'back' leads, what stands now.
    Raises NotHere, NotYours."""
    blank: Callable[[Asked, Connection], Values]
    """The fields before anybody typed."""
    keep: Callable[[Asked, Connection, Values], str | Told]
    """Writes, in a transaction of its own; a sentence on what was kept. Raises BadValues, Odd,
    Conflict, NotDone."""
