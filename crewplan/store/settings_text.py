"""branch.toml written from the settings, in the order of the dictionary."""

import json
import re
from datetime import date, time
from typing import Any

from crewplan.intake import grammar
from crewplan.intake.fields import fields_of
from crewplan.model.settings import Settings
from crewplan.store.cells import number_text, value_text

_WORDS_BY_KIND = ("requirements", "comes_after")
"""Settings that are tables with a line a kind."""
_BARE = re.compile(r"[A-Za-z0-9_-]+")


def _quoted(text: str) -> str:
    """A basic string; JSON's escapes are TOML's too, DEL apart."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return number_text(value)
    if isinstance(value, tuple):
        return "[" + ", ".join(map(_value, value)) + "]"
    if isinstance(value, date | time):
        return _quoted(value.isoformat() if isinstance(value, date) else f"{value:%H:%M}")
    return _quoted(grammar.marked(value))


def _line(name: str, value: Any) -> str:
    return f"{name} = {_value(value)}\n"


def _key(kind: str) -> str:
    return kind if _BARE.fullmatch(kind) else _quoted(kind)


def settings_toml(settings: Settings) -> str:
    """All settings that have a value, each told whether it is the default or not.

    A clock set by hand (`[demo]`) is never written: it belongs to the demo's own tables. Nor is a
    feed's key: databases and exports are handed on.
    """
    lines = []
    for field in fields_of(Settings):
        value = getattr(settings, field.name)
        if field.kind != "table" and value is not None:
            text = value_text(field, value) if field.kind == "time of day" else value
            lines.append(_line(field.name, text))
    if settings.holidays is not None:
        inner = ", ".join(
            f"{f.name} = {_value(getattr(settings.holidays, f.name))}"
            for f in fields_of(type(settings.holidays))
        )
        lines.append(f"holidays = {{ {inner} }}\n")
    if settings.feed is not None:
        lines.append("\n[feed]\n")
        lines += [
            _line(f.name, getattr(settings.feed, f.name))
            for f in fields_of(type(settings.feed))
            if f.name != "key"
        ]
    for name in _WORDS_BY_KIND:
        words_of: dict[str, tuple[str, ...]] = getattr(settings, name)
        if words_of:
            lines.append(f"\n[{name}]\n")
            lines += [_line(_key(kind), words) for kind, words in words_of.items()]
    return "".join(lines)
