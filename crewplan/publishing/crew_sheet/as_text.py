"""The sheet as text for a terminal; the drawings' figures stay, the drawings are left out."""

from crewplan.publishing.crew_sheet.blocks import (
    Block,
    Grid,
    Lines,
    Pairs,
    Picture,
    VerdictCard,
    Words,
)
from crewplan.publishing.crew_sheet.whole import CrewSheet
from crewplan.publishing.terminal import table_text

_SHAPES = {"go": "[+]", "no-go": "[x]", "unknown": "[?]"}


def sheet_text(sheet: CrewSheet) -> str:
    """All that the printed sheet says, but for the drawings."""
    lines = [*sheet.banner, *([sheet.mark] if sheet.mark else []), sheet.title, sheet.advice]
    for section in sheet.sections:
        lines += ["", section.title.upper()]
        lines += [text for block in section.blocks for text in _block(block)]
    return "\n".join(lines)


def _block(block: Block) -> list[str]:
    match block:
        case Words(text, _):
            return [text]
        case Pairs(rows):
            return [f"{name}: {words}" for name, words in rows]
        case Lines(items, ticks, numbered):
            return [
                f"{'[ ]' if ticks else f'{number}.' if numbered else '-'} {text}"
                for number, text in enumerate(items, 1)
            ]
        case Grid(columns, rows, _, ticks):
            shown = [(f"[ ] {row[0]}" if ticks else row[0], *row[1:]) for row in rows]
            return [table_text(columns, shown)]
        case VerdictCard(word, told, title, windows, lines):
            rest = (f"  {text}" for text in (*windows, *lines))
            return [f"{title}: {_SHAPES[word]} {told}", *rest]
        case Picture():
            return ["(The drawing is in the formats html and pdf.)"]
