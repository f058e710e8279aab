"""A browser without script, for tests of forms: it fills a page's fields in and sends them."""

from html.parser import HTMLParser
from typing import Any

from flask.testing import FlaskClient
from werkzeug.datastructures import MultiDict


class _Fields(HTMLParser):
    """The fields of the first form that writes, as a browser would send them."""

    def __init__(self) -> None:
        super().__init__()
        self.fields: list[tuple[str, str]] = []
        self._inside = self._done = False
        self._select = ""

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        at = {name: value or "" for name, value in attributes}
        if tag == "form" and at.get("method") == "post" and not self._done:
            self._inside = True
        if not self._inside:
            return
        if tag == "input" and (
            at.get("type") not in ("checkbox", "radio") or "checked" in dict(attributes)
        ):
            self.fields.append((at["name"], at.get("value", "")))
        if tag == "select":
            self._select = at["name"]
        if tag == "option" and "selected" in dict(attributes):
            self.fields.append((self._select, at["value"]))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form" and self._inside:
            self._inside, self._done = False, True


def fields_in(page: str) -> "MultiDict[str, str]":
    """What a browser would send if somebody pressed the form's button at once."""
    parser = _Fields()
    parser.feed(page)
    return MultiDict(parser.fields)


def filled(page: str, **typed: Any) -> "MultiDict[str, str]":
    """The same with other values in some fields; a list: several boxes."""
    fields = fields_in(page)
    for name, value in typed.items():
        fields.setlist(name.replace("__", " "), value if isinstance(value, list) else [value])
    return fields


def opened(client: FlaskClient, address: str) -> str:
    """A page that must be there."""
    answer = client.get(address)
    assert answer.status_code == 200, answer.text
    return answer.text


def sent(client: FlaskClient, address: str, fields: "MultiDict[str, str]") -> Any:
    """The answer to a form."""
    return client.post(address, data=fields)


def done(client: FlaskClient, address: str, page: str, **typed: Any) -> str:
    """Fill in, send, and follow to the page that says what was kept."""
    answer = sent(client, address, filled(page, **typed))
    assert answer.status_code == 303, answer.text
    return opened(client, answer.headers["Location"])
