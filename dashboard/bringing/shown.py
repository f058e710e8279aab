"""What the page shows in each state: files to choose, faults, changes with questions, done."""

from collections.abc import Collection, Iterator, Sequence
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from crewplan.intake.file_limits import SENT_BYTES, SENT_FILES, large
from crewplan.store.import_text import change_lines
from crewplan.store.importing import Draft
from dashboard.bringing.desk import number_of
from dashboard.bringing.waiting import Lot
from dashboard.guard.forgery import hidden_field
from dashboard.plain_html import to_html

QUESTION = "What would new tables change?"
ADDRESS = "/bring"
LOOK = f"{ADDRESS}/look"
ACCEPT = f"{ADDRESS}/accept"
_WORDS = {"hours_worked": "hours worked", "progress": "progress", "plan": "published days"}


@cache
def _templates() -> Environment:
    """Templates that escape what they are given, and fail on what they are not."""
    return Environment(
        loader=PackageLoader("dashboard", "bringing/templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def shown(template: str, **facts: Any) -> Markup:
    """A state of the page as HTML."""
    ours = {
        "question": QUESTION,
        "address": ADDRESS,
        "accept": ACCEPT,
        "csrf": Markup(to_html(hidden_field())),  # escaped by to_html
        "most_files": SENT_FILES,
        "most_bytes": large(SENT_BYTES),
    }
    return Markup(_templates().get_template(f"{template}.html").render(**ours, **facts))


def _blocks(lines: Sequence[str]) -> Iterator[tuple[str, str, list[str]]]:
    """Each table, what is told of it as a whole, and the lines about its rows."""
    table, told, rows = "", "", list[str]()
    for line in lines:
        if line.startswith("  "):
            rows.append(line.strip())
            continue
        if told:
            yield table, told, rows
        head, colon, rest = line.partition(": ")
        table, told, rows = (head, rest, []) if colon else ("", line, [])
    if told:
        yield table, told, rows


def changes(lot: Lot, draft: Draft, ticked: Collection[str], until: str, notice: str) -> Markup:
    """What would change against the newest version, and what must be asked."""
    asked = [
        (stage, " and ".join(_WORDS[table] for table in tables), stage in ticked)
        for stage, tables in draft.stuck.items()
    ]
    sent = ", ".join(sorted(lot.own.brought))
    against = f"version {number_of(draft)}" if draft.former else "an empty database"
    lead = f"Against {against}, the files that you sent ({sent}) would change this."
    if not draft.is_change:
        lead = f"Nothing: the files that you sent ({sent}) say what {against} says."
    return shown(
        "changes",
        notice=notice,
        lead=lead,
        changes=list(_blocks(change_lines(draft))) if draft.is_change else [],
        untouched="All other tables stay as they are.",
        mark=lot.mark,
        seen=number_of(draft),
        asked=asked,
        warnings=draft.warnings,
        until=until,
    )
