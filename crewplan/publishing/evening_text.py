"""Evening notes as text, as JSON and as cells."""

from collections.abc import Sequence
from typing import Any

from crewplan.publishing.evening_note import Note

EVENING_COLUMNS = ("day", "crew", "job", "stage", "about", "text", "void_after", "clock")


def _head(note: Note) -> str:
    where = f"job {note.job}, stage {note.stage}" if note.job else "nothing is published for it"
    return f"{note.day:%A %Y-%m-%d}, {note.crew}: {where}"


def _void(note: Note) -> str:
    if note.void_after is None:
        return "No forecast stands behind this: unknown, so do not go."
    return f"Void after {note.void_after:%Y-%m-%d %H:%M}; ask again before then."


def evening_text(notes: Sequence[Note], mark: str, caution: str) -> str:
    """One note after the other, and whose word comes first."""
    lines = [mark] if mark else []
    for note in notes:
        lines += [_head(note), *(f"  {about}: {text}" for about, text in note.lines)]
        lines += [f"  {_void(note)}", ""]
    return "\n".join([*lines, caution])


def evening_json(notes: Sequence[Note], clock: str) -> list[dict[str, Any]]:
    """One object a note."""
    return [
        {
            "day": note.day.isoformat(),
            "crew": note.crew,
            "job": note.job,
            "stage": note.stage,
            "lines": [{"about": about, "text": text} for about, text in note.lines],
            "void_after": note.void_after.isoformat() if note.void_after else None,
            "all_go": note.all_go,
            "clock": clock,
        }
        for note in notes
    ]


def evening_cells(notes: Sequence[Note], clock: str) -> list[tuple[str, ...]]:
    """One row a line, in the order of `EVENING_COLUMNS`."""
    return [
        (
            note.day.isoformat(),
            note.crew,
            note.job,
            note.stage,
            about,
            text,
            note.void_after.isoformat() if note.void_after else "",
            clock,
        )
        for note in notes
        for about, text in note.lines
    ]
