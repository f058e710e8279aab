"""How much of each step of a stage is done."""

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from sqlalchemy import Connection

from crewplan.publishing.day_words import day_words
from crewplan.store.entering import put_row
from crewplan.store.recent import progress_of_stage
from dashboard.entries.answering import fields, version_read
from dashboard.entries.asked import Asked, BadValues, Values, crews_of
from dashboard.entries.cell_faults import cell_fault
from dashboard.entries.form import Form
from dashboard.entries.in_words import words
from dashboard.entries.places import stage_title, steps_of, way_back

_TABLE = "progress"


def _facts(asked: Asked, connection: Connection) -> Mapping[str, Any]:
    stage = asked.stage()
    asked.hold_rights("enter hours", crews_of(asked.view, stage.stage))
    seen = progress_of_stage(connection, stage.stage)
    return {
        "title": f"{words('Share done')}: {stage_title(asked.view, stage)}",
        "back": way_back(asked.view, stage.stage),
        "steps": [
            (
                step.step,
                step.step.replace("_", " "),
                words(
                    "{share} % on {day}",
                    share=_percent(seen[step.step].share_done),
                    day=day_words(seen[step.step].day),
                )
                if step.step in seen
                else words("nothing reported yet"),
            )
            for step in steps_of(asked.view, stage)
        ],
    }


def _percent(share: float) -> str:
    return f"{Decimal(repr(share)) * 100:f}".removesuffix(".0").removesuffix(".00")


def _blank(asked: Asked, connection: Connection) -> Values:
    seen = progress_of_stage(connection, asked.stage().stage)
    pairs = [("day", str(asked.today))]
    for step in steps_of(asked.view, asked.stage()):
        share = _percent(seen[step.step].share_done) if step.step in seen else ""
        pairs += [(f"done {step.step}", share), (f"was {step.step}", share)]
    return fields(pairs)


def _changed(asked: Asked, values: Values) -> dict[str, str]:
    """Shares, as texts of the table, of the steps that somebody changed.

    Raises:
        BadValues: with a sentence for each field.
    """
    faults: dict[str, str] = {}
    shares: dict[str, str] = {}
    for step in steps_of(asked.view, asked.stage()):
        name = f"done {step.step}"
        text = values.get(name, "").strip().removesuffix("%").strip()
        if text == values.get(f"was {step.step}", ""):
            continue
        try:
            share = Decimal(text) / 100
        except InvalidOperation:
            share = Decimal("NaN")
        if not (share.is_finite() and 0 <= share <= 1):
            faults[name] = words('"{text}" is not a number from 0 to 100.', text=text)
        else:
            shares[step.step] = f"{share:f}"
    if bad := cell_fault(_TABLE, "day", values.get("day", "")):
        faults["day"] = bad
    elif values["day"] > str(asked.today):
        faults["day"] = "This day is still to come: say what is done, not what is planned."
    if not shares and not faults:
        faults["day"] = "Nothing was changed: write the share done beside a step."
    if faults:
        raise BadValues(faults)
    return shares


def _keep(asked: Asked, connection: Connection, sent: Values) -> str:
    shares = _changed(asked, sent)
    stage, seen = asked.stage().stage, version_read(sent)
    for step, share in shares.items():
        key = (sent["day"], stage, step)
        by, at = asked.actor.name, asked.now
        values = {"share_done": share}
        # every step is held to the version that the page was made of, not to the last one written
        put_row(connection, _TABLE, key, values, by, at, expected_version=seen)
    if len(shares) == 1:
        return words("Kept: the share done of 1 step.")
    return words("Kept: the share done of {count} steps.", count=len(shares))


FORM = Form("/enter/progress", "enter hours", "progress.html", _facts, _blank, _keep)
