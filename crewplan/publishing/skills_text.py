"""Hours wanted against hours there, by week and skill, as text, cells and JSON."""

from typing import Any

from crewplan.model.chance import whole_percent
from crewplan.model.promise import SkillOutlook, SkillWeek
from crewplan.publishing.terminal import table_text

SKILL_COLUMNS = ("from_on", "skill", "new_h", "wanted_h", "there_h", "left_h", "p_short")
_OFTEN = 0.5
"""A week is called short where so many of the draws are."""


def skill_cells(outlook: SkillOutlook) -> list[tuple[str, ...]]:
    """A row a week and skill, in the order of `SKILL_COLUMNS`."""
    return [
        (
            row.from_on.isoformat(),
            row.skill,
            f"{row.new_h:.1f}",
            f"{row.wanted_h:.1f}",
            f"{row.there_h:.1f}",
            f"{row.left_h:.1f}",
            f"{row.short_share:.3f}",
        )
        for row in outlook.weeks
    ]


def skill_json(outlook: SkillOutlook, seed: int, clock: str) -> dict[str, Any]:
    """One object."""
    return {
        "weeks": [
            {
                "from_on": row.from_on.isoformat(),
                "skill": row.skill,
                "new_h": row.new_h,
                "wanted_h": row.wanted_h,
                "there_h": row.there_h,
                "left_h": row.left_h,
                "p_short": row.short_share,
            }
            for row in outlook.weeks
        ],
        "not_ready_h": dict(outlook.not_ready_h),
        "draws": outlook.draws,
        "seed": seed,
        "notes": list(outlook.notes),
        "clock": clock,
    }


def _cell(row: SkillWeek) -> str:
    short = f", {row.left_h:,.0f} left over" if row.short_share >= _OFTEN else ""
    return f"{row.wanted_h:,.0f} of {row.there_h:,.0f} h{short}"


def skill_text(outlook: SkillOutlook, mark: str) -> str:
    """A row a week, a column a skill."""
    lines = [mark] if mark else []
    if not outlook.weeks:
        return "\n".join([*lines, "No open stage, or no working day within these weeks."])
    skills = list(dict.fromkeys(row.skill for row in outlook.weeks))
    by_week: dict[str, dict[str, str]] = {}
    for row in outlook.weeks:
        by_week.setdefault(row.from_on.isoformat(), {})[row.skill] = _cell(row)
    lines.append("Person-hours wanted of those there, by week (ready, or left over before):")
    rows = [(week, *(cells[skill] for skill in skills)) for week, cells in by_week.items()]
    lines.append(table_text(("from", *skills), rows))
    short = list(dict.fromkeys(row.skill for row in outlook.weeks if row.short_share >= _OFTEN))
    if short:
        worst = [max((r for r in outlook.weeks if r.skill == s), key=_shortest) for s in short]
        lines += [
            f"{row.skill} is short in the week from {row.from_on.isoformat()} in "
            f"{whole_percent(row.short_share)}% of draws: {row.left_h:,.0f} h left over."
            for row in worst
        ]
    later = {skill: hours for skill, hours in outlook.not_ready_h.items() if hours >= 1}
    if later:
        told = ", ".join(f"{skill} {hours:,.0f} h" for skill, hours in later.items())
        lines.append(f"Not ready within these weeks: {told}.")
    return "\n".join([*lines, *(f"Note: {note}." for note in outlook.notes)])


def _shortest(row: SkillWeek) -> float:
    return row.left_h
