"""The texts of the crew's day in the reader's language, out of a catalogue of plain data.

`texts.json` has each sentence by a key, in every language side by side; `words_es.json` has words
that tables and drawings bring along, by their English. What is in neither stays as it is: names,
addresses, a branch's own items.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from werkzeug.datastructures import LanguageAccept

LANGUAGES: Mapping[str, str] = {"en": "English", "es": "Español"}
"""By code: how people who read it call it."""
LOCALES: Mapping[str, str] = {"en": "", "es": "es_US"}
"""How days and numbers are written; empty: by the branch's setting."""


@cache
def texts() -> Mapping[str, Mapping[str, str]]:
    """By key, then by language."""
    return _read("texts.json")


@cache
def words(language: str) -> Mapping[str, str]:
    """By the English word."""
    return {} if language == "en" else _read(f"words_{language}.json")


def _read(name: str) -> Any:
    return json.loads(files("dashboard.phone").joinpath("catalogue", name).read_text("utf-8"))


def chosen_language(asked: str, accepted: LanguageAccept) -> str:
    """What the address asks for, else the best that the browser accepts, else English."""
    if asked in LANGUAGES:
        return asked
    return accepted.best_match(list(LANGUAGES)) or "en"


@dataclass(frozen=True, slots=True)
class Tongue:
    """One language."""

    code: str

    def say(self, key: str, **filled: object) -> str:
        """A sentence of the catalogue."""
        return texts()[key][self.code].format(**filled)

    def word(self, english: str) -> str:
        """A word that tables bring along; itself where the catalogue does not know it."""
        return words(self.code).get(english, english)

    def listed(self, parts: Sequence[str]) -> str:
        """'a, b and c'."""
        if len(parts) < 2:
            return "".join(parts)
        return self.say("and", most=", ".join(parts[:-1]), last=parts[-1])
