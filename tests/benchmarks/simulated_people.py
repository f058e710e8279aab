"""People at their browsers: log in, look at pages, fill in forms; as fast or slow as they are let.

A page is asked for as a browser with a filled cache asks: the document, Dash's layout and
dependencies, and the callback that brings the page. A form is read, filled in, sent, and the page
that it leads to is read.
"""

import json
import random
import re
import time
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from html.parser import HTMLParser
from http.client import HTTPConnection
from urllib.parse import urlencode, urlsplit

PASSWORD = "eleven blue ladders stand"
_KEPT_ODD = ("sure", "yes")


@dataclass(frozen=True, slots=True)
class Answer:
    """What came back."""

    status: int
    text: str
    location: str


class Unforeseen(Exception):
    """An answer that nobody should get."""


class Browser:
    """One person's: cookies, one connection, no script but what Dash would send."""

    def __init__(self, address: str) -> None:
        parts = urlsplit(address)
        self.origin, self.host = f"{parts.scheme}://{parts.netloc}", parts.netloc
        self.cookies: dict[str, str] = {}
        self._connection = HTTPConnection(self.host, timeout=60)

    def close(self) -> None:
        """Hang up."""
        self._connection.close()

    def ask(self, method: str, path: str, body: str = "", **headers: str) -> Answer:
        """Send a request over the connection that is open, or over a new one."""
        sent = {"Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items())}
        if method == "POST":
            sent["Origin"] = self.origin
        sent |= {name.replace("_", "-"): value for name, value in headers.items()}
        try:
            return self._asked(method, path, body, sent)
        except (ConnectionError, OSError):
            if method == "POST":
                raise  # it may have been taken in: sending it again is the person's choice
            self._connection.close()
            return self._asked(method, path, body, sent)

    def _asked(self, method: str, path: str, body: str, headers: Mapping[str, str]) -> Answer:
        self._connection.request(method, path, body.encode() or None, dict(headers))
        response = self._connection.getresponse()
        text = response.read().decode()
        for name, value in response.getheaders():
            if name.lower() == "set-cookie":
                cookie = value.partition(";")[0].partition("=")
                self.cookies[cookie[0]] = cookie[2]
        if response.status >= 500:
            raise Unforeseen(f"{method} {path}: {response.status} {text[:200]}")
        return Answer(response.status, text, response.getheader("Location", ""))

    def send(self, path: str, fields: list[tuple[str, str]]) -> Answer:
        """Send a form."""
        kind = "application/x-www-form-urlencoded"
        return self.ask("POST", path, urlencode(fields), Content_Type=kind)

    def page(self, path: str) -> str:
        """A page of the board, whole; its plain HTML."""
        document = self.good(self.ask("GET", path), path)
        self.good(self.ask("GET", "/_dash-layout"), "layout")
        self.good(self.ask("GET", "/_dash-dependencies"), "dependencies")
        address, _, query = path.partition("?")
        inputs = [("pathname", address), ("search", f"?{query}" if query else "")]
        body = {
            "output": "board.children",
            "outputs": {"id": "board", "property": "children"},
            "inputs": [
                {"id": "address", "property": name, "value": value} for name, value in inputs
            ],
            "changedPropIds": ["address.pathname", "address.search"],
        }
        token = next(value for name, value in self.cookies.items() if "csrf" in name)
        sent = self.ask(
            "POST",
            "/_dash-update-component",
            json.dumps(body),
            Content_Type="application/json",
            X_CSRFToken=token,
        )
        self.good(sent, f"callback of {path}")
        return document

    def document(self, path: str) -> str:
        """A page without script."""
        return self.good(self.ask("GET", path), path)

    @staticmethod
    def good(answer: Answer, what: str) -> str:
        """The text of a page that is there."""
        if answer.status != 200:
            raise Unforeseen(f"{what}: {answer.status} {answer.text[:200]}")
        return answer.text


class _Forms(HTMLParser):
    """Fields of a page's first form, as they stand."""

    def __init__(self) -> None:
        super().__init__()
        self.fields: list[tuple[str, str]] = []
        self.boxes: list[tuple[str, str]] = []
        self._forms, self._select, self._first = 0, "", ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        at = {name: value or "" for name, value in attrs}
        if tag == "form" and at.get("action") != "/log-out":
            self._forms += 1
        if self._forms != 1:
            return
        if tag == "input" and at.get("type") in ("checkbox", "radio"):
            self.boxes.append((at["name"], at["value"]))
            if "checked" in at:
                self.fields.append((at["name"], at["value"]))
        elif tag == "input" and at.get("name"):
            self.fields.append((at["name"], at.get("value", "")))
        elif tag == "select":
            self._select, self._first = at["name"], ""
        elif tag == "option" and self._select and "selected" in at:
            self._first = at["value"]

    def handle_endtag(self, tag: str) -> None:
        if tag == "select" and self._select:
            self.fields.append((self._select, self._first))
            self._select = ""
        if tag == "form" and self._forms == 1:
            self._forms = 2


def form_of(page: str) -> _Forms:
    """The fields of a page's form."""
    found = _Forms()
    found.feed(page)
    return found


@dataclass
class Person:
    """Somebody with an account, and all that was acknowledged to them."""

    name: str
    role: str
    browser: Browser
    chance: random.Random
    notes: list[str] = field(default_factory=list)
    """Of hours that were acknowledged: one row a person named in the form."""
    kept: Counter[str] = field(default_factory=Counter)
    """Acknowledged: readings, ticks, states, hours, share done."""
    conflicts: int = 0
    moved: int = 0
    _number: int = 0

    def log_in(self) -> None:
        """Until it is done, as somebody who waits when told to."""
        page = form_of(self.browser.document("/log-in"))
        fields = dict(page.fields) | {"name": self.name, "password": PASSWORD}
        answer = self.browser.send("/log-in", list(fields.items()))
        if answer.status != 303:
            raise Unforeseen(f"log-in of {self.name}: {answer.status}")

    def act(self) -> str:
        """One page or one entry; which kind it was."""
        return self.chance.choice(_OF_ROLE[self.role])(self)

    def look(self, path: str) -> str:
        self.browser.page(path)
        return f"page {path}"

    def enter(self, path: str, mark: str, filled: Mapping[str, str], box: str = "") -> str:
        """Read a form, fill it in and send it; conflicts and questions are answered."""
        shown = self.browser.ask("GET", path)
        if shown.status in (403, 404):  # since the list was read, the stage went to another crew
            self.moved += 1
            return f"{mark} (moved away)"
        form = form_of(Browser.good(shown, path))
        state = dict(form.fields).get("state", "")
        days = {"asked": "asked_on", "granted": "granted_on"}
        filled = {days.get(state, ""): "2026-04-20", **filled}
        fields = [
            (name, value if value and name in days.values() else filled.get(name, value))
            for name, value in form.fields
        ]
        boxes = [value for name, value in form.boxes if name == box]
        ticked = 0
        if box and boxes:
            chosen = (box, self.chance.choice(boxes))
            fields = [each for each in fields if each != chosen] + [chosen] * (chosen not in fields)
            ticked = 1
        answer = self.browser.send(path, fields)
        if answer.status == 409 and 'name="sure"' in answer.text:
            again = form_of(answer.text).fields
            answer = self.browser.send(path, [*again, _KEPT_ODD])
        if answer.status == 409:
            self.conflicts += 1
            return f"{mark} (conflict)"
        if answer.status != 303:
            raise Unforeseen(f"{mark} at {path}: {answer.status} {answer.text[-600:]}")
        self.kept[mark] += ticked or 1
        self.browser.document(answer.location)
        return mark

    def place(self, rule: str) -> str:
        """The address of a form of one of their stages; empty: they have none."""
        found = re.findall(rf'href="({rule}\?[^"]+)"', self.browser.document("/enter"))
        return self.chance.choice(found).replace("&amp;", "&") if found else ""

    def next_number(self) -> int:
        """Counts this person's entries."""
        self._number += 1
        return self._number


def _tomorrow(person: Person) -> str:
    return person.look("/tomorrow")


def _week(person: Person) -> str:
    return person.look("/")


def _hours_page(person: Person) -> str:
    return person.look("/hours")


def _hours(person: Person) -> str:
    place = person.place("/enter/hours")
    if not place:
        return _tomorrow(person)
    note = f"load {person.name} {person.next_number()}"
    told = person.enter(place, "hours", {"hours": "0.05", "note": note})
    if told == "hours":
        person.notes.append(note)
    return told


def _reading(person: Person) -> str:
    place = person.place("/enter/reading")
    gust = f"{person.chance.uniform(2, 9):.1f}"
    return person.enter(place, "reading", {"gust": gust}) if place else _tomorrow(person)


def _tick(person: Person) -> str:
    place = person.place("/enter/load")
    return person.enter(place, "tick", {}, box="item") if place else _tomorrow(person)


def _state(person: Person) -> str:
    page = person.browser.document("/enter/states")
    found = re.findall(r'href="(/enter/state\?[^"]+)"', page)
    place = person.chance.choice(found).replace("&amp;", "&")
    day = f"2026-06-{1 + person.next_number() % 28:02}"
    return person.enter(place, "state", {"expected_on": day})


_OF_ROLE = {
    "lead": (_tomorrow, _tomorrow, _tomorrow, _hours, _reading, _tick),
    "office": (_week, _tomorrow, _week, _state, _hours, _state),
    "owner": (_hours_page, _week, _hours_page),
    "manager": (_week, _tomorrow, _hours_page, _state, _hours, _reading),
}
"""What a role does, each as often."""


def wait_until(at: float) -> None:
    """Sleep until an instant of the steady clock."""
    left = at - time.monotonic()
    if left > 0:
        time.sleep(left)
