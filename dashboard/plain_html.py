"""The same pages as plain HTML, readable before and without the browser's script."""

from html import escape
from typing import Any

from dash import dcc, html
from dash.development.base_component import Component

from dashboard.kept import KEPT

_VOID = frozenset({"img", "br", "hr", "input"})
_NAMES = {"className": "class", "htmlFor": "for", "colSpan": "colspan", "tabIndex": "tabindex"}
_INNER = frozenset({"children", "id"})
"""Ids are left to the living page, which takes this one's place."""
_WILD = ("data-", "aria-")


def to_html(node: Any) -> str:
    """HTML of a Dash component, a text, or a list of both. Figures are left to their tables."""
    if node is None:
        return ""
    if isinstance(node, list | tuple):
        return "".join(to_html(child) for child in node)
    if not isinstance(node, Component):
        return escape(str(node))
    if node in KEPT:
        return KEPT[node].html
    if isinstance(node, html.Figure | dcc.Graph):
        return ""
    return element(node, to_html(getattr(node, "children", None)))


def element(node: Component, inner: str) -> str:
    """HTML of a component whose inside is HTML already."""
    tag = type(node).__name__.lower()
    opening = f"<{tag}{_attributes(node)}>"
    return opening if tag in _VOID else f"{opening}{inner}</{tag}>"


def properties_of(node: Component) -> dict[str, Any]:
    """What was said of a component, in the order in which it sends it.

    As `to_plotly_json`, which asks after each of some fifty properties that an element may have:
    a page has thousands of elements, and most of them have one.
    """
    own: dict[str, Any] = vars(node)
    names = own["_prop_names"]
    plain = {name: own[name] for name in names if name in own}
    return plain | {name: own[name] for name in own if name.startswith(_WILD)}


def _attributes(node: Component) -> str:
    words = []
    for name, value in properties_of(node).items():
        if name in _INNER or value is None or value is False:
            continue
        written = _NAMES.get(name, name)
        words.append(f" {written}" if value is True else f' {written}="{escape(str(value))}"')
    return "".join(words)
