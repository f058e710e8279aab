"""The sheet as a PDF: the blocks as data, laid out by `sheet.typ`."""

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from importlib.resources import files
from typing import Any, Literal

from crewplan.publishing.crew_sheet.blocks import Section
from crewplan.publishing.crew_sheet.whole import CrewSheet
from crewplan.publishing.screen_units import UnitSystem

Paper = Literal["a4", "letter"]

PAPER_OF: Mapping[UnitSystem, Paper] = {"us": "letter", "metric": "a4"}
"""What a branch of these units has in its printer. Assumed."""
_TYPST_PAPER: Mapping[Paper, str] = {"a4": "a4", "letter": "us-letter"}


_LONG_WORD = re.compile(r"[^\s\u200b]{10}(?=[^\s\u200b]{10})")
"""Words of twenty letters and more may be broken after each ten: no cell is narrower than ten."""


def _breakable(value: Any) -> Any:
    """Words at any depth with a place to break in those that no cell would hold."""
    if isinstance(value, str):
        return _LONG_WORD.sub(lambda found: f"{found.group()}\u200b", value)
    if isinstance(value, dict):
        return {key: inner if key == "svg" else _breakable(inner) for key, inner in value.items()}
    return [_breakable(inner) for inner in value] if isinstance(value, (list, tuple)) else value


def _section(section: Section) -> dict[str, Any]:
    blocks = [{"kind": type(block).__name__} | asdict(block) for block in section.blocks]
    return {"title": section.title, "own_page": section.own_page, "blocks": blocks}


def _told(sheet: CrewSheet) -> dict[str, Any]:
    return {
        "title": sheet.title,
        "short": sheet.short_title,
        "banner": sheet.banner,
        "mark": sheet.mark,
        "advice": sheet.advice,
        "sections": [_section(section) for section in sheet.sections],
    }


def sheet_pdf(sheet: CrewSheet, paper: Paper) -> bytes:
    """The whole document. The words are data to the layout, never a part of it."""
    return sheets_pdf([sheet], paper)


def sheets_pdf(sheets: Sequence[CrewSheet], paper: Paper) -> bytes:
    """Several sheets one after the other, at least one; each begins on a page of its own and counts
    its pages.
    """
    import typst  # heavy, and only needed here

    told = [_breakable(_told(sheet)) for sheet in sheets]
    layout = files("crewplan.publishing.crew_sheet").joinpath("sheet.typ").read_bytes()
    return bytes(
        typst.compile(
            layout,
            format="pdf",
            sys_inputs={"sheets": json.dumps(told), "paper": _TYPST_PAPER[paper]},
        )
    )
