"""The names that the board answers to.

A page elsewhere can have its own name point at this machine (DNS rebinding) and would then count as
the same origin; it cannot make the browser send one of these names.
"""

from collections.abc import Collection

from flask import request

LOOPBACK_NAMES = frozenset({"127.0.0.1", "localhost", "[::1]"})


def host_alone(host: str) -> str:
    """A Host header without its port, in small letters."""
    name, colon, port = host.rpartition(":")
    return (name if colon and port.isdigit() else host).lower()


def known_host(names: Collection[str]) -> bool:
    """Whether the request is for this machine itself or for one of these names."""
    return host_alone(request.host) in LOOPBACK_NAMES | set(names)
