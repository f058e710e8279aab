"""Every address and every callback with what a person needs to be let in there, as data.

An address or a callback that nobody said this of is refused when the board is made.
"""

from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from typing import Any, Literal

from dash import Dash
from flask import Flask

from crewplan.model.account import Act

Need = Act | Literal["anybody", "signed in", "the page at the address"]
"""'anybody' needs no log-in; 'the page at the address' needs what that page needs."""

FORM_BYTES = 256 * 1024
"""The largest body of a request, unless its address says otherwise."""


class Unguarded(Exception):
    """An address or a callback without a word on who may use it."""


@dataclass(frozen=True, slots=True)
class Route:
    """What an address asks for."""

    need: Need
    at_most_bytes: int = FORM_BYTES


@dataclass(slots=True)
class Needs:
    """What the addresses and callbacks of one board ask for."""

    by_rule: dict[str, Route] = field(default_factory=dict)
    by_callback: dict[str, Need] = field(default_factory=dict)
    """By the callback's output, such as 'board.children'."""


_OWN = "crewplan_needs"

_DASH: dict[str, Need] = {
    "/": "the page at the address",
    "/<path:path>": "the page at the address",
    "/assets/<path:filename>": "anybody",
    "/_dash-component-suites/<string:package_name>/<path:fingerprinted_path>": "anybody",
    "/_favicon.ico": "anybody",
    "/_dash-layout": "signed in",
    "/_dash-dependencies": "signed in",
    "/_reload-hash": "signed in",
    "/_dash-update-component": "signed in",  # and then what the callback needs
}
"""What Dash brings along: its scripts are the same for everybody, its layout is empty."""


def needs_of(server: Flask) -> Needs:
    """All that is declared of one board."""
    if _OWN not in server.extensions:
        rules = {rule: Route(need) for rule, need in _DASH.items()}
        server.extensions[_OWN] = Needs(by_rule=rules)
    needs: Needs = server.extensions[_OWN]
    return needs


def guarded(
    app: Dash,
    rule: str,
    act: Need,
    methods: Collection[str] = ("GET",),
    at_most_bytes: int = FORM_BYTES,
) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Declare a plain address, what it needs, and the largest body that it takes.

    Where the act is bound to a crew, what answers asks `asking().may(act, crew)` itself.
    """

    def declared(view: Callable[..., Any]) -> Callable[..., Any]:
        by_rule = needs_of(app.server).by_rule
        route = Route(act, at_most_bytes)
        if by_rule.setdefault(rule, route) != route:
            raise Unguarded(f"{rule} is declared with two different needs")
        app.server.add_url_rule(rule, f"{' '.join(methods)} {rule}", view, methods=list(methods))
        return view

    return declared


def callback_needs(app: Dash, output: str, need: Need) -> None:
    """Declare what a callback needs, by its output such as 'board.children'."""
    needs_of(app.server).by_callback[output] = need


def refuse_unguarded(app: Dash) -> None:
    """Raise Unguarded where an address or a callback has no need declared."""
    needs = needs_of(app.server)
    rules = {rule.rule for rule in app.server.url_map.iter_rules()}
    missing = sorted(rules - needs.by_rule.keys())
    outputs = {*app.callback_map, *(each["output"] for each in app._callback_list)}
    missing += sorted(outputs - needs.by_callback.keys())
    if missing:
        raise Unguarded(f"nobody said who may use {', '.join(missing)}")


def largest_body(app: Dash) -> int:
    """The most that any address takes; the server reads no more before it asks who it is from."""
    return max(route.at_most_bytes for route in needs_of(app.server).by_rule.values())
