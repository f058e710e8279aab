"""What the columns of a table may hold, told from the model's own types."""

import dataclasses
import types
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from annotated_types import DocInfo, Ge, Gt, Le
from pydantic import TypeAdapter

from crewplan.model.units import SUFFIXES, suffix_of

Kind = Literal[
    "text",
    "choice",
    "number",
    "whole number",
    "day",
    "time with UTC offset",
    "time of day",
    "yes/no",
    "texts",
    "choices",
    "whole numbers",
    "days",
    "spans of days",
    "table",
]

_PLAIN: dict[Any, Kind] = {
    str: "text",
    float: "number",
    int: "whole number",
    date: "day",
    datetime: "time with UTC offset",
    time: "time of day",
    bool: "yes/no",
}
_MANY: dict[Kind, Kind] = {
    "text": "texts",
    "choice": "choices",
    "whole number": "whole numbers",
    "day": "days",
    "table": "spans of days",
}
_WRITTEN: dict[Kind, str] = {
    "day": "a day written as 2026-05-04",
    "time with UTC offset": "a time with its UTC offset, written as 2026-05-04T07:00:00-05:00",
    "time of day": "a time of day written as 07:00",
    "yes/no": "yes or no",
    "texts": "a list of words with ; between",
    "days": "a list of days such as 2026-05-04;2026-05-11",
    "spans of days": "a list of days such as 2026-05-05..2026-05-07;2026-05-11",
    "table": "a table of settings",
}


@dataclass(frozen=True, slots=True)
class Field:
    """One column of a table, or one setting."""

    name: str
    kind: Kind
    hint: Any
    optional: bool
    """May be None."""
    has_default: bool
    default: Any
    choices: tuple[str, ...]
    bounds: str
    """`from 0 to 75`, `above 0` ...; empty: any."""
    about: str
    suffix: str
    """Unit suffix of its name; empty: no unit."""

    @property
    def takes_none(self) -> bool:
        """Whether the word `none` must be written where no value is meant."""
        return self.optional and not self.has_default

    @property
    def unit(self) -> str:
        """The unit as people write it."""
        return SUFFIXES[self.suffix].word if self.suffix else ""

    def expected(self) -> str:
        """What a cell should hold, ready to stand after 'is not'."""
        if self.kind == "choice":
            return f"one of {', '.join(self.choices)}"
        if self.kind == "choices":
            return f"a list of words out of {', '.join(self.choices)}"
        if self.kind in ("number", "whole number"):
            words = f"a {self.kind} {self.bounds}".rstrip()
            words += f" (in {self.unit})" if self.unit and self.bounds else ""
            return words + (", or the word none" if self.takes_none else "")
        if self.kind == "whole numbers":
            return f"a list of whole numbers {self.bounds} such as 7;7;5"
        return _WRITTEN.get(self.kind, f"a word ({self.about})")


def _bounds(metadata: list[Any]) -> str:
    low = next((m for m in metadata if isinstance(m, Ge | Gt)), None)
    high = next((m.le for m in metadata if isinstance(m, Le)), None)
    if isinstance(low, Gt):
        return f"above {low.gt}" + (f" and up to {high}" if high is not None else "")
    if low is not None and high is not None:
        return f"from {low.ge} to {high}"
    if low is not None:
        return f"of {low.ge} or more"
    return f"up to {high}" if high is not None else ""


def _kind(base: Any) -> tuple[Kind, tuple[str, ...], str]:
    """Kind, choices and bounds of a type without its Annotated shell."""
    origin = get_origin(base)
    if origin is Literal:
        return "choice", tuple(word for word in get_args(base) if word), ""
    if origin is tuple:
        inner = get_args(base)[0]
        metadata = list(inner.__metadata__) if get_origin(inner) is Annotated else []
        core = get_args(inner)[0] if metadata else inner
        # a pair of days is a tuple itself
        kind, choices, _ = ("table", (), "") if get_origin(core) is tuple else _kind(core)
        return _MANY[kind], choices, _bounds(metadata)
    return _PLAIN.get(base, "table"), (), ""


def _field(declared: "dataclasses.Field[Any]", hint: Any) -> Field:
    metadata = list(hint.__metadata__)
    base = get_args(hint)[0]
    optional = False
    if get_origin(base) in (Union, types.UnionType):
        arms = [arm for arm in get_args(base) if arm is not type(None)]
        optional, base = True, arms[0]
    kind, choices, bounds = _kind(base)
    factory = declared.default_factory
    has_default = declared.default is not dataclasses.MISSING or factory is not dataclasses.MISSING
    default = declared.default if factory is dataclasses.MISSING else factory()
    return Field(
        name=declared.name,
        kind=kind,
        hint=hint,
        optional=optional,
        has_default=has_default,
        default=default if has_default else None,
        choices=choices,
        bounds=bounds or _bounds(metadata),
        about=next((m.documentation for m in metadata if isinstance(m, DocInfo)), ""),
        suffix=suffix_of(declared.name) if kind == "number" else "",
    )


_FIELDS: dict[type[Any], tuple[Field, ...]] = {}
_VALIDATORS: dict[tuple[type[Any], str], TypeAdapter[Any]] = {}


def fields_of(row: type[Any]) -> tuple[Field, ...]:
    """The columns of a row type, in its own order; told once a type."""
    if row not in _FIELDS:
        hints = get_type_hints(row, include_extras=True)
        _FIELDS[row] = tuple(_field(item, hints[item.name]) for item in dataclasses.fields(row))
    return _FIELDS[row]


def validator(row: type[Any], name: str) -> TypeAdapter[Any]:
    """Checks one column's value against the model's type, bounds and choices included."""
    if (row, name) not in _VALIDATORS:
        hint = next(field.hint for field in fields_of(row) if field.name == name)
        _VALIDATORS[row, name] = TypeAdapter(hint)
    return _VALIDATORS[row, name]
