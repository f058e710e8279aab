"""branch.toml: the branch's settings, held to the same types and words as the tables."""

import dataclasses
import tomllib
from collections.abc import Iterator, Mapping
from datetime import timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from crewplan.intake import grammar
from crewplan.intake.faults import Report, place, quoted
from crewplan.intake.fields import Field, fields_of
from crewplan.intake.layout import Column, match, unknown
from crewplan.intake.toml_lines import line_of, line_of_error
from crewplan.intake.typed_rows import checked
from crewplan.intake.workbook import cell_text
from crewplan.model.job_rows import Stage
from crewplan.model.settings import Demo, Holidays, Settings

FILE = "branch.toml"
SETTING_TABLES: dict[str, type[Any]] = {"holidays": Holidays, "demo": Demo}


@dataclasses.dataclass(frozen=True, slots=True)
class _Reader:
    """Reads one table of the file; `path` names the tables around it."""

    text: str
    report: Report
    path: tuple[str, ...] = ()

    def fault(self, key: str, value: str, expected: str, problem: str = "") -> None:
        path = (*self.path, *key.split("."))
        line = line_of(self.text, path)
        self.report.fault(FILE, line, ".".join(path), value, expected, problem)

    def inside(self, key: str) -> "_Reader":
        return _Reader(self.text, self.report, (*self.path, key))


def _text(value: Any) -> str:
    """What a table's cell would hold; the same grammar reads it then."""
    if isinstance(value, list):
        return ";".join(map(cell_text, value))
    return repr(value) if isinstance(value, float) else cell_text(value)


def _requirements(reader: _Reader, value: Any) -> dict[str, tuple[str, ...]]:
    kinds = next(field.choices for field in fields_of(Stage) if field.name == "kind")
    found: dict[str, tuple[str, ...]] = {}
    for kind, words in value.items():
        if kind not in kinds:
            reader.fault(kind, kind, f"one of {', '.join(kinds)}")
        elif isinstance(words, list) and all(isinstance(word, str) for word in words):
            found[kind] = grammar.parts(";".join(words))
        else:
            problem = f"{quoted(str(words))} is no list"
            reader.fault(kind, str(words), 'a list of words, such as ["permit", "survey"]', problem)
    return found


def _value(reader: _Reader, row: type[Any], field: Field, name: str, suffix: str, raw: Any) -> Any:
    """One setting.

    Raises:
        grammar.Unreadable: where it is told already, or is not what was expected.
    """
    if field.kind == "table":
        if not isinstance(raw, dict):
            raise grammar.Unreadable
        if field.name == "requirements":
            return _requirements(reader.inside(name), raw)
        return _build(reader.inside(name), SETTING_TABLES[field.name], raw)
    if isinstance(raw, dict) or (isinstance(raw, list) and not isinstance(field.default, tuple)):
        raise grammar.Unreadable
    text = _text(raw).strip()
    if not text:
        if field.has_default and field.kind in ("text", "texts", "days", "choices"):
            return () if isinstance(field.default, tuple) else ""
        raise grammar.Unreadable("it is empty")
    return checked(row, field, text, Column(0, name, field, suffix))


def _build(reader: _Reader, row: type[Any], given: Mapping[str, Any]) -> Any:
    """A settings type from its table; None where something is at fault."""
    fields = fields_of(row)
    values: dict[str, Any] = {}
    whole = True
    written: dict[str, str] = {}
    for name, raw in given.items():
        hit = match(name.lower(), fields)
        if hit is None:
            path = ".".join((*reader.path, name))
            line = line_of(reader.text, (*reader.path, name))
            reader.report.warn(f"{place(FILE, line, path)}: {unknown(name, fields)}.")
            continue
        field, suffix = hit
        if field.name in written:
            reader.fault(name, _text(raw), "one of them", f"{written[field.name]} holds the same")
            whole = False
            continue
        written[field.name] = name
        try:
            values[field.name] = _value(reader, row, field, name, suffix, raw)
        except grammar.Unreadable as bad:
            shown = _text(raw) if not isinstance(raw, dict) else "a table"
            reader.fault(name, shown, field.expected(), str(bad))
            whole = False
        else:
            whole &= field.kind != "table" or values[field.name] is not None
    for field in fields:
        if field.name not in written and not field.has_default:
            reader.fault(field.name, "", field.expected(), "the setting is missing")
            whole = False
    return row(**values) if whole else None


def _senseless(settings: Settings) -> Iterator[tuple[str, str, str, str]]:
    """Key, value, what was expected, what is wrong: settings that do not go together."""
    s = settings
    if s.go_probability > s.gate_probability:
        yield (
            "go_probability",
            f"{s.go_probability:g}",
            f"{s.gate_probability:g} or less",
            f"{s.go_probability:g} lies over gate_probability {s.gate_probability:g}",
        )
    if s.break_h >= s.shift_h:
        wish = f"less than shift_h, {s.shift_h:g}"
        yield "break_h", f"{s.break_h:g}", wish, f"{s.break_h:g} leaves no time to work"
    start = timedelta(hours=s.shift_start.hour, minutes=s.shift_start.minute)
    if start + timedelta(hours=s.shift_h + s.overtime_max_h) > timedelta(days=1):
        length = f"{s.shift_h + s.overtime_max_h:g}"
        problem = f"{length} h from {s.shift_start:%H:%M} end after midnight"
        yield "shift_h", length, "a shift, overtime included, within its day", problem
    if not s.workdays:
        yield "workdays", "", "at least one day of the week", "it is empty"
    try:
        ZoneInfo(s.timezone)
    except (KeyError, ValueError, OSError):
        yield "timezone", s.timezone, "the name of a time zone, such as America/Chicago", ""
    if s.demo is not None and not s.invented:
        problem = "a clock set by hand stands in a folder that is not invented"
        yield "demo", "", "invented = true beside it, or no [demo]", problem
    if s.holidays is not None:
        yield from _holidays(s.holidays)


def _holidays(given: Holidays) -> Iterator[tuple[str, str, str, str]]:
    import holidays  # heavy, and only needed where a branch keeps them

    known = holidays.list_supported_countries()
    if given.country not in known:
        wish = "a country by its two capital letters, such as US"
        yield "holidays.country", given.country, wish, ""
        return
    try:
        holidays.country_holidays(given.country, subdiv=given.subdivision or None)
    except NotImplementedError:
        such = f", such as {known[given.country][0]}" if known[given.country] else ""
        wish = f"a state or province of {given.country} with holidays of its own{such}"
        yield "holidays.subdivision", given.subdivision, wish, ""


def read_settings(folder: Path, report: Report) -> Settings | None:
    """The settings; None, with their faults told, where any is at fault."""
    path = folder / FILE
    try:
        text = path.read_bytes().decode("utf-8-sig")
        given = tomllib.loads(text)
    except UnicodeDecodeError:
        report.fault(FILE, None, "", "", "text saved in UTF-8", "it holds a byte that is not UTF-8")
        return None
    except tomllib.TOMLDecodeError as error:
        wish = 'settings such as name = "Branch"'
        report.fault(FILE, line_of_error(error), "", "", wish, "it cannot be read as settings")
        return None
    except FileNotFoundError:
        report.fault(FILE, None, "", "", "the branch's settings", "it is not there")
        return None
    except OSError as error:
        problem = f"it cannot be opened ({error.strerror})"
        report.fault(FILE, None, "", "", "the branch's settings", problem)
        return None
    reader = _Reader(text, report)
    settings: Settings | None = _build(reader, Settings, given)
    if settings is None:
        return None
    clean = True
    for key, value, expected, problem in _senseless(settings):
        reader.fault(key, value, expected, problem)
        clean = False
    if settings.weather_members is None:
        report.warn(
            f"{FILE}: weather_members is not set, so that a member missing from the whole "
            "forecast is not noticed."
        )
    return settings if clean else None
