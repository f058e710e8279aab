"""What the record suggests to change, in words, rows and JSON."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from crewplan.model.finding import DrivesBack, Finding
from crewplan.publishing.day_words import day_words
from crewplan.publishing.hours_rows import exact_hours, exact_money
from crewplan.publishing.reader import decimal
from crewplan.publishing.sheets import Sheet
from crewplan.publishing.waiting_words import plain

FINDING_COLUMNS = (
    "change", "cause", "about", "lost_h", "cost", "cases", "crews", "from", "to", "enough",
)  # fmt: skip

_CHANGES: Mapping[str, tuple[str, str]] = {
    "weather": (
        "Look at which hours the lifts were set for: {} took hours",
        "Look at which hours the lifts were set for: weather took hours, and note which limit",
    ),
    "waiting_for_permit": (
        "Send nobody before {} has answered, and ask earlier",
        "Send nobody before the permit is there",
    ),
    "waiting_for_material": (
        "Have the {} in the store before the day, and order it earlier",
        "Count the kit before the day, and note what was missing",
    ),
    "missing_tool_or_part": (
        "Carry spares of the {} on every truck",
        "Tick the load-out list the evening before, and note what was missing",
    ),
    "return_trip": (
        "Carry spares of the {} on every truck",
        "Note what people drove back for",
    ),
    "rework": ("Go through what {} did twice", "Go through what was done twice"),
    "failed_inspection": (
        "Ask {} what it looks at, and add that to the closing checks",
        "Ask what the inspector looks at, and add that to the closing checks",
    ),
    "customer": ("", "Call the customer the day before"),
    "travel": (
        "Plan the drives of {} with the time that they take, or give it nearer sites",
        "Plan the drives with the time that they take",
    ),
    "other": ("", "Note what it was: hours went for 'other'"),
    "slow": ("Plan {} stages with the hours that they take: see crewplan rates", ""),
}
"""By cause: what to do where it is known whom or what it was about, and where it is not."""


_LATE_SUPPLIER = "Reckon with {} being late: order earlier, or from somebody else"


def change_words(finding: Finding) -> str:
    """What to do."""
    if finding.subject_kind == "supplier":
        return _LATE_SUPPLIER.format(finding.subject)
    named, unnamed = _CHANGES[finding.cause]
    return named.format(finding.subject) if named and finding.subject else unnamed


def evidence_words(finding: Finding, currency: str) -> str:
    """Hours, money, cases, crews and days."""
    what = "finished stages" if finding.cause == "slow" else "visits"
    what = what[:-1] if finding.cases == 1 else what
    crews = f" of {', '.join(finding.crews)}" if finding.crews else ""
    until = "" if finding.last == finding.first else f" to {day_words(finding.last)}"
    told = (
        f"{decimal(finding.hours, 1)} h, {decimal(finding.cost, 0)} {currency}"
        f" in {finding.cases} {what}{crews}, "
        f"{day_words(finding.first)}{until}"
    )
    answers = finding.answers
    if answers is not None and answers.half_days is not None:
        most = (
            f", eight of ten in {answers.most_days}"
            if answers.most_days is not None
            else ", and the record does not tell how long eight of ten take"
        )
        told += (
            f"; of {answers.requests} requests it answered half in {answers.half_days} days{most}"
        )
    return told + _drives(finding.drives, currency)


def _drives(drives: DrivesBack | None, currency: str) -> str:
    if drives is None:
        return ""
    return (
        f"; {drives.drives} {'drive' if drives.drives == 1 else 'drives'} back by"
        f" {drives.people} {'person' if drives.people == 1 else 'people'},"
        f" {decimal(drives.km, 0)} km: {decimal(drives.road_h, 1)} h on the road,"
        f" {decimal(drives.road_cost, 0)} {currency}, and"
        f" {decimal(drives.standing_h, 1)} h held up, {decimal(drives.standing_cost, 0)} {currency}"
    )


def findings_cells(findings: Sequence[Finding]) -> list[tuple[str, ...]]:
    """A row a finding, in the order of FINDING_COLUMNS."""
    return [
        (
            change_words(one),
            one.cause,
            one.subject,
            exact_hours(one.hours),
            exact_money(one.cost.quantize(Decimal("0.01"))),
            str(one.cases),
            ";".join(one.crews),
            one.first.isoformat(),
            one.last.isoformat(),
            "yes" if one.enough else "no",
        )
        for one in findings
    ]


def findings_sheet(findings: Sequence[Finding]) -> Sheet:
    """What to change as a table."""
    words = frozenset({"change", "cause", "about", "crews", "from", "to", "enough"})
    return Sheet("what to change", FINDING_COLUMNS, findings_cells(findings), words)


def findings_json(findings: Sequence[Finding], currency: str, clock: str) -> dict[str, Any]:
    """`enough` false: too few cases to conclude anything from."""
    return {
        "currency": currency,
        "clock": clock,
        "changes": [
            {
                "change": change_words(one),
                "cause": one.cause,
                "about": one.subject,
                "about_kind": one.subject_kind,
                "lost_h": float(one.hours),
                "cost": float(one.cost),
                "cases": one.cases,
                "crews": list(one.crews),
                "from": one.first.isoformat(),
                "to": one.last.isoformat(),
                "enough": one.enough,
                "answers": one.answers
                and {
                    "requests": one.answers.requests,
                    "half_days": one.answers.half_days,
                    "eight_of_ten_days": one.answers.most_days,
                },
                "drives_back": one.drives
                and {
                    "drives": one.drives.drives,
                    "people": one.drives.people,
                    "km": one.drives.km,
                    "road_h": float(one.drives.road_h),
                    "road_cost": float(one.drives.road_cost),
                    "standing_h": float(one.drives.standing_h),
                    "standing_cost": float(one.drives.standing_cost),
                },
            }
            for one in findings
        ],
    }


def findings_text(
    findings: Sequence[Finding], title: str, currency: str, least: int, weeks: int, mark: str
) -> str:
    """What to change, the dearest first; below, what there are too few cases of."""
    lines = [mark] if mark else []
    lines.append(f"{title}: what to change, from the last {weeks} weeks of the record.")
    good = [one for one in findings if one.enough]
    few = [one for one in findings if not one.enough]
    if not good:
        lines.append("Nothing came back often enough to conclude anything from.")
    for place, one in enumerate(good, start=1):
        lines.append(f"{place}. {change_words(one)}.")
        lines.append(f"   {evidence_words(one, currency)}.")
    if few:
        lines.append(f"Fewer than {least} cases, so nothing follows yet:")
        lines += [f"   {_name(one)}: {evidence_words(one, currency)}." for one in few]
    return "\n".join(lines)


def _name(finding: Finding) -> str:
    about = f", {finding.subject}" if finding.subject else ""
    return f"{plain(finding.cause)}{about}"
