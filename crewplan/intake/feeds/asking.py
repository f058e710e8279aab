"""Asks a feed's host: politely, with kept answers, and never for longer or more than is sensible.

requests-cache keeps answers in SQLite and asks whether they have changed; urllib3 tries again.
"""

import logging
import time
from collections.abc import Callable
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from sqlite3 import Error as SqliteError
from typing import Any

from requests import PreparedRequest, Response
from requests.adapters import HTTPAdapter
from requests.exceptions import RequestException
from requests_cache import CachedSession
from requests_cache.models.response import CachedResponse
from urllib3.exceptions import HTTPError, MaxRetryError, ResponseError
from urllib3.util.retry import Retry

from crewplan.intake.feeds.feed import Answer, Ask, FeedFault, NotThere, Question
from crewplan.intake.feeds.http_times import not_in_the_future
from crewplan.intake.feeds.json_parts import parsed

CONNECT_S, SILENT_S, WHOLE_S = 5.0, 10.0, 20.0
"""Longest wait for a connection, for the next byte, and for a whole answer. Assumed."""
LARGEST_BYTES = 20_000_000
"""A forecast of ten days and 51 members takes about 2 MB."""
BETWEEN_S = 0.2
"""Least time between two requests."""
LONGEST_PAUSE_S = 20.0
"""Who asks for a longer pause gets it: nothing more is asked in this run."""
TRIES_AGAIN = 2
KEPT_AT_MOST_S = 48 * 3_600
"""As planning takes no older forecast, no older answer stands in for one."""
_BUSY = (429, 500, 502, 503, 504)
_CHUNK = 65_536
logging.getLogger("requests_cache").addHandler(logging.NullHandler())  # people get a sentence
_NOT_KEPT = "min-fresh=100000000"
"""No kept answer stays fresh for so long (RFC 9111), so that the host is asked."""


class BadAnswer(RequestException):
    """An answer that was cut off, too slow, too large or of the wrong kind."""


class _Patience(Retry):
    """Tries again after a pause that grows, or the one asked for, unless that is too long."""

    def increment(self, method: Any = None, url: Any = None, *more: Any, **named: Any) -> Any:
        response = named.get("response")
        if response is not None and (self.get_retry_after(response) or 0) > LONGEST_PAUSE_S:
            raise MaxRetryError(named["_pool"], url, ResponseError("asks for a long pause"))
        return super().increment(method, url, *more, **named)


class _Polite(HTTPAdapter):
    """Reads whole answers within their bounds, no two requests at once."""

    def __init__(self, backoff_s: float, whole_s: float, largest_bytes: int) -> None:
        patience = _Patience(
            total=TRIES_AGAIN,
            backoff_factor=backoff_s,
            status_forcelist=_BUSY,
            allowed_methods=("GET",),
            raise_on_status=True,
        )
        super().__init__(max_retries=patience)
        self._backoff_s, self._whole_s, self._largest = backoff_s, whole_s, largest_bytes
        self._last_s = float("-inf")
        self.sent = 0
        """Requests so far."""

    def send(self, request: PreparedRequest, *_args: Any, **named: Any) -> Response:
        """One request; a broken answer is asked for again."""
        for attempt in range(TRIES_AGAIN + 1):
            try:
                return self._once(request, named)
            except BadAnswer:
                if attempt == TRIES_AGAIN:
                    raise
                time.sleep(self._backoff_s * 2**attempt)
        raise AssertionError("the loop returns or raises")

    def _once(self, request: PreparedRequest, named: dict[str, Any]) -> Response:
        time.sleep(max(0.0, self._last_s + BETWEEN_S - time.monotonic()))
        self._last_s = time.monotonic()
        self.sent += 1
        until = self._last_s + self._whole_s
        wait = (min(CONNECT_S, self._whole_s), min(SILENT_S, self._whole_s))
        response = super().send(request, **{**named, "stream": True, "timeout": wait})
        response._content = self._body(response, until)
        if response.status_code == 200:
            _must_be_json(response)
        not_in_the_future(response.headers, response.raw.headers, datetime.now(UTC))
        return response

    def _body(self, response: Response, until: float) -> bytes:
        pieces, size = [], 0
        try:
            while piece := response.raw.read1(_CHUNK, decode_content=True):
                pieces.append(piece)
                size += len(piece)
                if size > self._largest:
                    raise BadAnswer("it is too large")
                if time.monotonic() > until:
                    raise BadAnswer("it took too long")
        except HTTPError:
            raise BadAnswer("it was cut off") from None
        finally:
            response.close()
        return b"".join(pieces)


def _must_be_json(response: Response) -> None:
    """An answer that cannot be read must not take the place of a kept one."""
    kind = response.headers.get("Content-Type", "").partition(";")[0].strip().lower()
    if not (kind.endswith(("/json", "+json"))):
        raise BadAnswer("it is no JSON")
    try:
        parsed(response.content)
    except FeedFault:
        raise BadAnswer("it is no JSON") from None


def _session(host: str, agent: str, cache: Path, adapter: HTTPAdapter) -> CachedSession:
    session = CachedSession(
        str(cache),
        backend="sqlite",
        serializer="json",  # not pickle: whoever can write the file must not run code
        allowable_codes=(200, 404),
        stale_if_error=KEPT_AT_MOST_S,
        ignored_parameters=["apikey"],
    )
    session.headers.update(
        {"User-Agent": agent, "Accept": "application/geo+json, application/json"}
    )
    session.max_redirects = 2
    session.trust_env = not host.startswith("http://")  # this machine is not asked through a proxy
    session.mount("https://", adapter)
    session.mount("http://", adapter)
    return session


def asker(
    host: str,
    contact: str,
    cache: Path,
    *,
    backoff_s: float = 1.0,
    whole_s: float = WHOLE_S,
    largest_bytes: int = LARGEST_BYTES,
) -> tuple[Ask, Callable[[], None]]:
    """A way to ask a host, and how to end it.

    Args:
        host: `https://name`.
        contact: how the provider can reach whoever asks; part of the User-Agent.
        cache: SQLite file of kept answers.
        backoff_s: first pause before asking again, twice that before the next.
        whole_s: longest time for one answer.
        largest_bytes: longest answer.

    Raises:
        FeedFault: where answers cannot be kept.
    """
    adapter = _Polite(backoff_s, whole_s, largest_bytes)
    agent = f"crewplan/{version('crewplan')} ({contact})"
    try:
        session = _session(host, agent, cache, adapter)
    except (SqliteError, OSError) as error:
        raise FeedFault(f"answers cannot be kept in {cache} ({error})") from None

    def ask(question: Question) -> Answer:
        session.settings.expire_after = max(question.kept_for_s, 1.0)
        before = adapter.sent
        try:
            response = session.get(
                host + question.path,
                params=dict(question.parameters),
                headers=None if question.kept_for_s else {"Cache-Control": _NOT_KEPT},
                refresh=not question.kept_for_s,
            )
        except (SqliteError, OSError, HTTPError, ValueError) as error:
            raise FeedFault(f"{host} gave no answer: {_words(error)}") from None
        if not response.url.startswith(host + "/"):
            raise FeedFault(f"{host} sent us to another host")
        if response.status_code == 404:
            raise NotThere(f"{host} has no {question.path}")
        if response.status_code != 200:
            raise FeedFault(f"{host} gave no answer: it says {response.status_code}")
        return _answer(response, asked=adapter.sent > before)

    return ask, session.close


def _answer(response: Any, *, asked: bool) -> Answer:
    """A kept answer that comes back although the host was asked stands in for one."""
    now = datetime.now(UTC)
    kept = isinstance(response, CachedResponse) and not response.revalidated
    if not kept:
        return Answer(response.content, now)
    since = response.created_at
    since = since.replace(tzinfo=UTC) if since.tzinfo is None else since
    return Answer(response.content, since, stale=asked)


def _words(error: Exception) -> str:
    """What happened, without an address (it may hold a key)."""
    if isinstance(error, BadAnswer):
        return str(error)
    inner = error.args[0] if error.args else error
    reason = getattr(inner, "reason", None) or inner
    if isinstance(reason, ResponseError):
        return str(reason)
    name = type(reason).__name__.removesuffix("Error")
    return {
        "NewConnection": "no connection",
        "NameResolution": "its name is not known",
        "ConnectTimeout": "no connection in time",
        "ReadTimeout": "it took too long",
        "Protocol": "it was cut off",
        "SSL": "its certificate is not good",
    }.get(name, name)
