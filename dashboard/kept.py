"""Parts of pages that were put into the shapes in which they are sent, so that it is done once."""

from dataclasses import dataclass
from typing import Any
from weakref import WeakKeyDictionary

from dash.development.base_component import Component


@dataclass(frozen=True, slots=True)
class Kept:
    """The shapes of one component."""

    html: str
    quiet: Any
    has_figure: bool


KEPT: WeakKeyDictionary[Component, Kept] = WeakKeyDictionary()
"""By the component itself, as long as somebody holds it."""
