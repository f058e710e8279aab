"""Finding a port to serve on."""

import socket


class PortTaken(Exception):
    """The port that was asked for is in use; the text is one sentence."""


DEFAULT_PORT = 8050
LOOPBACK = "127.0.0.1"


def _bindable(port: int, host: str) -> int | None:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError:
            return None
        return int(probe.getsockname()[1])


def free_port(wanted: int, host: str = LOOPBACK) -> int:
    """`wanted` if it is free; any free one in place of the default, or for 0.

    Raises:
        PortTaken: where a port other than the default was asked for and is in use.
    """
    port = _bindable(wanted, host)
    if port is None and wanted == DEFAULT_PORT:
        port = _bindable(0, host)
    if port is None:
        raise PortTaken(f"port {wanted} on {host} is in use or not allowed; choose --port")
    return port
