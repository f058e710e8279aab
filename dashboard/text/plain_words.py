"""The layers' own details turned into words for people."""

import re
from datetime import date

from crewplan.publishing.day_words import day_words

_ISO_DAY = re.compile(r"\b(\d{4})-(\d{2})-(\d{2})\b")
_TERMS = (
    (re.compile(r"\bP\(go\)"), "chance of weather"),
    (re.compile(r"\bP\(finish\)"), "chance of finishing"),
    (re.compile(r"\bP\(ready\)"), "chance of being ready"),
    (re.compile(r"(?<=\w)_(?=\w)"), " "),
)


def plain_words(detail: str) -> str:
    """No terms of probability, no underscores, days as people say them."""
    for term, words in _TERMS:
        detail = term.sub(words, detail)
    return _ISO_DAY.sub(lambda found: day_words(date(*map(int, found.groups()))), detail)
