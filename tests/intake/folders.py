"""Folders for the tests of intake: the valid base of tests/faults, with files laid over it."""

import csv
import shutil
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl

FAULTS = Path(__file__).parents[1] / "faults"
_NOTES = ("expected.txt", "removed.txt")


def base(to: Path, **files: str) -> Path:
    """The valid folder, with some tables (`stages`, ...) or `branch` settings in their place."""
    shutil.copytree(FAULTS / "_base", to)
    for name, text in files.items():
        (to / (f"{name}.toml" if name == "branch" else f"{name}.csv")).write_text(
            text, encoding="utf-8"
        )
    return to


def with_fault(name: str, to: Path) -> Path:
    """The valid folder with one of the fault folders laid over it."""
    base(to)
    over = FAULTS / name
    removed = over / "removed.txt"
    for gone in removed.read_text(encoding="utf-8").split() if removed.exists() else ():
        (to / gone).unlink()
    shutil.copytree(over, to, dirs_exist_ok=True, ignore=shutil.ignore_patterns(*_NOTES))
    return to


def settings_with(line: str) -> str:
    """The valid settings with one more line at their end."""
    return (FAULTS / "_base" / "branch.toml").read_text(encoding="utf-8") + line + "\n"


def _typed(text: str) -> Any:
    """A cell as a spreadsheet would keep it: numbers and days are no texts."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        pass
    try:
        return float(text) if "." in text else int(text)
    except ValueError:
        return text or None


def to_workbook(folder: Path, keep: tuple[str, ...] = ()) -> Path:
    """Move a folder's CSV tables into one workbook beside branch.toml."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for path in sorted(folder.glob("*.csv")):
        if path.stem in keep:
            continue
        sheet = book.create_sheet(path.stem.capitalize())
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.reader(file):
                sheet.append([_typed(cell) for cell in row])
        path.unlink()
    book.save(folder / "tables.xlsx")
    return folder / "tables.xlsx"
