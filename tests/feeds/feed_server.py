"""A server on the loopback interface that gives kept answers, and misbehaves when told to."""

import json
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

ANSWERS = Path(__file__).parent / "answers"
BASE = datetime(2026, 5, 3, 21, 0, tzinfo=UTC)
"""The moment at which the kept answers were made; tests move it to now."""


def kept(name: str) -> Any:
    """An answer of ours, as JSON."""
    return json.loads((ANSWERS / f"{name}.json").read_text(encoding="utf-8"))


def moved(value: Any, by: timedelta) -> Any:
    """The same answer with every time in it later by `by`."""
    if isinstance(value, dict):
        return {key: moved(one, by) for key, one in value.items()}
    if isinstance(value, list):
        return [moved(one, by) for one in value]
    if isinstance(value, int) and not isinstance(value, bool) and 1_700_000_000 < value < 2**31:
        return value + int(by.total_seconds())
    if isinstance(value, str):
        first, slash, rest = value.partition("/")
        try:
            at = datetime.fromisoformat(first)
        except ValueError:
            return value
        return (at + by).isoformat() + slash + rest if at.tzinfo else value
    return value


@dataclass
class Reply:
    """One answer; `spoil` may write it to the socket in its own way."""

    body: Any = None
    status: int = 200
    kind: str = "application/geo+json"
    headers: dict[str, str] = field(default_factory=dict)
    spoil: Callable[[BaseHTTPRequestHandler, bytes], None] | None = None


class FeedServer:
    """Replies by path; what was asked is kept in `asked`."""

    def __init__(self) -> None:
        self.replies: dict[str, list[Reply]] = {}
        self.asked: list[tuple[str, dict[str, str]]] = []
        outer = self

        class Handler(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def log_message(self, *_args: Any) -> None:
                """Nothing on stderr."""

            def do_GET(self) -> None:
                path = urlsplit(self.path).path
                outer.asked.append((self.path, dict(self.headers)))
                self.close_connection = True
                queue = outer.replies.get(path)
                if not queue:
                    return self.give(Reply({"title": "Not Found"}, 404, "application/problem+json"))
                return self.give(queue.pop(0) if len(queue) > 1 else queue[0])

            def give(self, reply: Reply) -> None:
                raw = reply.body
                body = raw if isinstance(raw, bytes) else json.dumps(raw).encode()
                tag = reply.headers.get("ETag")
                since = reply.headers.get("Last-Modified")
                unchanged = (tag and self.headers.get("If-None-Match") == tag) or (
                    since and self.headers.get("If-Modified-Since") == since
                )
                if reply.status == 200 and unchanged:
                    self.send_response(304)
                    self.send_header("ETag", tag or "")
                    self.send_header("Connection", "close")
                    self.send_header("Content-Length", "0")
                    self.end_headers()
                    return
                self.send_response(reply.status)
                self.send_header("Content-Type", reply.kind)
                self.send_header("Connection", "close")
                for name, value in reply.headers.items():
                    self.send_header(name, value)
                self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                try:
                    (reply.spoil or (lambda on, what: on.wfile.write(what)))(self, body)
                except OSError:
                    pass  # whoever asked has gone

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self._server.daemon_threads = True
        self._server.block_on_close = False  # who still drips is not waited for
        self._thread = threading.Thread(
            target=self._server.serve_forever, kwargs={"poll_interval": 0.01}
        )
        self._thread.start()
        self.host = f"http://127.0.0.1:{self._server.server_address[1]}"

    def close(self) -> None:
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()

    def paths(self) -> list[str]:
        """Paths asked for, in order."""
        return [urlsplit(path).path for path, _ in self.asked]


def cut_off(handler: BaseHTTPRequestHandler, body: bytes) -> None:
    """Half of the answer, and the line goes dead."""
    handler.wfile.write(body[: len(body) // 2])
    handler.wfile.flush()
    handler.connection.close()


def drip(handler: BaseHTTPRequestHandler, body: bytes) -> None:
    """A byte now and then."""
    for byte in body:
        handler.wfile.write(bytes([byte]))
        handler.wfile.flush()
        time.sleep(0.05)


def silent(handler: BaseHTTPRequestHandler, _body: bytes) -> None:
    """Nothing at all, for longer than anybody waits in these tests."""
    time.sleep(1.5)
    handler.connection.close()
