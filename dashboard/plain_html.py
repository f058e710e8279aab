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


def _attributes(node: Component) -> str:
    properties = node.to_plotly_json()["props"]
    words = []
    for name, value in properties.items():
        if name in _INNER or value is None or value is False:
            continue
        written = _NAMES.get(name, name)
        words.append(f" {written}" if value is True else f' {written}="{escape(str(value))}"')
    return "".join(words)
