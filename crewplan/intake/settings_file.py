"""branch.toml: the branch's settings, held to the same types and words as the tables."""

import dataclasses
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from crewplan.intake import grammar
from crewplan.intake.faults import Report, place, quoted
from crewplan.intake.fields import Field, fields_of
from crewplan.intake.file_limits import SETTINGS_BYTES
from crewplan.intake.layout import Column, match, unknown
from crewplan.intake.plain_files import check_file
from crewplan.intake.raw_table import UnreadableTable
from crewplan.intake.settings_sense import senseless_settings
from crewplan.intake.toml_lines import line_of, line_of_error
from crewplan.intake.typed_rows import checked
from crewplan.intake.workbook import cell_text
from crewplan.model.characters import control_in
from crewplan.model.job_rows import Stage
from crewplan.model.settings import Demo, FeedSettings, Holidays, Settings

FILE = "branch.toml"
_TOLD = "told already"
SETTING_TABLES: dict[str, type[Any]] = {
    "holidays": Holidays,
    "feed": FeedSettings,
    "demo": Demo,
}


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


def _lists_of_kinds(reader: _Reader, value: Any, by_stage: bool) -> dict[str, tuple[str, ...]]:
    """Lists of kinds of requirement, by kind of stage or by any kind of requirement."""
    kinds = next(field.choices for field in fields_of(Stage) if field.name == "kind")
    found: dict[str, tuple[str, ...]] = {}
    for kind, words in value.items():
        if by_stage and kind not in kinds:
            reader.fault(kind, kind, f"one of {', '.join(kinds)}")
        elif isinstance(words, list) and all(isinstance(word, str) for word in words):
            control = control_in("".join(words))
            if control:
                problem = f"a word holds the control character {control}"
                reader.fault(kind, str(words), "words without one", problem)
            found[kind] = grammar.parts(";".join(map(grammar.unmarked, words)))
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
        if field.name in ("requirements", "comes_after"):
            return _lists_of_kinds(reader.inside(name), raw, field.name == "requirements")
        inner, bad = _read(reader.inside(name), SETTING_TABLES[field.name], raw)
        if bad:
            raise grammar.Unreadable(_TOLD)
        return SETTING_TABLES[field.name](**inner)
    if isinstance(raw, dict) or (isinstance(raw, list) and not isinstance(field.default, tuple)):
        raise grammar.Unreadable
    text = _text(raw).strip()
    if not text:
        if field.has_default and field.kind in ("text", "texts", "days", "choices"):
            return () if isinstance(field.default, tuple) else ""
        raise grammar.Unreadable("it is empty")
    return checked(row, field, text, Column(0, name, field, suffix))


def _read(
    reader: _Reader, row: type[Any], given: Mapping[str, Any]
) -> tuple[dict[str, Any], frozenset[str]]:
    """Values of a settings type, and the names of those at fault, which have none."""
    fields = fields_of(row)
    values = {field.name: field.default for field in fields if field.has_default}
    bad: set[str] = set()
    written: dict[str, str] = {}
    for name, raw in given.items():
        hit = match(name.lower(), fields)
        if hit is None:
            path = (*reader.path, name)
            where = place(FILE, line_of(reader.text, path), ".".join(path))
            reader.report.warn(f"{where}: {unknown(name, fields)}.")
            continue
        field, suffix = hit
        try:
            if field.name in written:
                problem = f"{written[field.name]} holds the same measure"
                reader.fault(name, _text(raw), "one of them", problem)
                raise grammar.Unreadable(_TOLD)
            values[field.name] = _value(reader, row, field, name, suffix, raw)
        except grammar.Unreadable as bad_value:
            if str(bad_value) != _TOLD:
                shown = _text(raw) if not isinstance(raw, dict) else "a table"
                reader.fault(name, shown, field.expected(), str(bad_value))
            bad.add(field.name)
        written[field.name] = name
    for field in fields:
        if field.name not in written and not field.has_default:
            reader.fault(field.name, "", field.expected(), "the setting is missing")
            bad.add(field.name)
    return {name: value for name, value in values.items() if name not in bad}, frozenset(bad)


def read_settings(folder: Path, report: Report) -> Settings | None:
    """The settings; None, with their faults told, where any is at fault."""
    path = folder / FILE
    try:
        if path.exists():
            check_file(path, SETTINGS_BYTES, "the branch's settings")
        text = path.read_bytes().decode("utf-8-sig")
    except UnreadableTable as bad:
        report.fault(FILE, None, "", "", bad.expected, bad.problem)
        return None
    except UnicodeDecodeError:
        report.fault(FILE, None, "", "", "text saved in UTF-8", "it holds a byte that is not UTF-8")
        return None
    except FileNotFoundError:
        report.fault(FILE, None, "", "", "the branch's settings", "it is not there")
        return None
    except OSError as error:
        problem = f"it cannot be opened ({error.strerror})"
        report.fault(FILE, None, "", "", "the branch's settings", problem)
        return None
    return settings_of_text(text, report)


def settings_of_text(text: str, report: Report) -> Settings | None:
    """As `read_settings`, from the file's text."""
    try:
        given = tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # numbers of thousands of digits; lists in lists
        wish = 'settings such as name = "Branch"'
        report.fault(FILE, line_of_error(error), "", "", wish, "it cannot be read as settings")
        return None
    reader = _Reader(text, report)
    values, bad = _read(reader, Settings, given)
    senseless = tuple(senseless_settings(values))
    for key, value, expected, problem in senseless:
        reader.fault(key, value, expected, problem)
    if values.get("weather_members", 0) is None:
        report.warn(
            f"{FILE}: weather_members is not set, so that a member missing from the whole "
            "forecast is not noticed."
        )
    return None if bad or senseless else Settings(**values)
