"""Sentences of the forms in the reader's language, out of the telephone's catalogue.

Whoever came from the telephone's page goes on in its language; everybody else reads English.
"""

from flask import has_request_context, request

from dashboard.phone.language import LANGUAGES, Tongue

TELEPHONE = "telephone"
"""Where somebody came from, as an address says it."""


def reader_tongue() -> Tongue:
    """The language of the request that is being answered."""
    if not has_request_context() or request.args.get("from") != TELEPHONE:
        return Tongue("en")
    asked = request.args.get("lang", "")
    return Tongue(asked if asked in LANGUAGES else "en")


def words(english: str, **filled: object) -> str:
    """A sentence by its English, its gaps filled; English where the catalogue does not know it."""
    said = reader_tongue().word(english)
    return said.format(**filled) if filled else said
