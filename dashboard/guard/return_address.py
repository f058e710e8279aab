"""Where somebody goes after logging in: only ever an address of this board."""

from urllib.parse import urlsplit


def local_address(asked: str, otherwise: str = "/") -> str:
    """The address that was asked for if it is a path of ours, else `otherwise`.

    A browser takes '//host', '/\\host' and a control character between for another host.
    """
    parts = urlsplit(asked) if asked.isprintable() and "\\" not in asked else None
    if parts is None or parts.scheme or parts.netloc:
        return otherwise
    if not parts.path.startswith("/") or asked.startswith("//") or parts.path.startswith("//"):
        return otherwise
    return f"{parts.path}?{parts.query}" if parts.query else parts.path
