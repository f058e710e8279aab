"""Characters that steer a terminal or a reader's eye, and lines without them."""

import re

_CONTROLS = "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff"
_EMBEDDINGS = "\u202a-\u202e\u2066-\u2069"
_MARKS = "\u200e\u200f\u061c"

_CONTROL = re.compile(f"[{_CONTROLS}]")
_EMBEDDING = re.compile(f"[{_EMBEDDINGS}]")
_STEERS = re.compile(f"[{_CONTROLS}{_EMBEDDINGS}{_MARKS}\r]")


def control_in(text: str) -> str:
    """The first character that belongs in no cell, as `U+001B`; empty: none.

    Line ends and tabs belong in a note. Lone halves of a character (surrogates) do not.
    """
    found = None if text.isascii() and text.isprintable() else _CONTROL.search(text)
    return f"U+{ord(found[0]):04X}" if found else ""


def without_embeddings(text: str) -> str:
    """A text without the invisible signs that turn the direction in which it is shown.

    They come along when a telephone number is pasted from a list of contacts, and can make a text
    read otherwise than it is. Marks that right-to-left writing needs stay.
    """
    return text if text.isascii() else _EMBEDDING.sub("", text)


def visible(text: str) -> str:
    """A text with whatever steers a terminal written as an escape; line feeds and tabs stay."""
    return _STEERS.sub(lambda found: found[0].encode("unicode_escape").decode("ascii"), text)


def one_line(text: str, longest: int) -> str:
    """A text on one line, `visible`, and cut where it is longer than `longest` characters."""
    flat = visible(" ".join(text[: 4 * longest].split()))
    return flat if len(flat) <= longest else flat[:longest] + "…"
