"""Parts of a page that nothing on it changes, sent as HTML in place of hundreds of components.

A component costs the browser about a millisecond; a week has thousands. Each tag that holds no
figure keeps its place as a component, and carries what is inside it as text, which the page's own
script (assets/quiet.js) puts there. All text is escaped on the way.
"""

from typing import Any

from dash import dcc
from dash.development.base_component import Component

from dashboard.kept import KEPT
from dashboard.plain_html import properties_of, to_html


def quiet(node: Any) -> Any:
    """The same tree, with every largest part that holds no figure turned to text."""
    if isinstance(node, list | tuple):
        return [quiet(child) for child in node]
    if not isinstance(node, Component) or isinstance(node, dcc.Graph):
        return node
    if node in KEPT:
        return KEPT[node].quiet
    children = getattr(node, "children", None)
    if children is None or isinstance(children, str):
        return node
    if has_figure(children):
        return type(node)(quiet(children), **_properties(node))
    return as_text(node, to_html(children))


def as_text(node: Component, inner: str) -> Component:
    """The component, its inside as HTML."""
    return type(node)(**_properties(node), **{"data-html": inner})


def _properties(node: Component) -> dict[str, Any]:
    return {k: v for k, v in properties_of(node).items() if k != "children"}


def has_figure(node: Any) -> bool:
    """Whether a figure stands in a part of a page, however deep."""
    if isinstance(node, list | tuple):
        return any(has_figure(child) for child in node)
    if isinstance(node, Component) and node in KEPT:
        return KEPT[node].has_figure
    return isinstance(node, dcc.Graph) or (
        isinstance(node, Component) and has_figure(getattr(node, "children", None))
    )
