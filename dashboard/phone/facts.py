"""What the crew's day says, worked out for its template: texts in the reader's language."""

from collections import Counter
from collections.abc import Sequence
from datetime import timedelta
from typing import Any

from crewplan.model.chance import whole_percent
from crewplan.model.verdict import DayVerdict, Window
from crewplan.model.work_rows import EXPOSURES, Exposure
from crewplan.publishing.day_words import day_words, long_day_words
from crewplan.publishing.early_words import worth_asking
from crewplan.publishing.kind_words import KIND_WORDS
from crewplan.publishing.lent_words import come_and_gone
from crewplan.publishing.load_list import load_list, tools
from crewplan.publishing.reader import decimal
from crewplan.publishing.site_cautions import ADVICE_ONLY, site_cautions
from crewplan.publishing.standby import of_visit
from crewplan.running.board_view import BoardView
from crewplan.scheduling.standby import ground_steps
from crewplan.takeoff.marks import job_marks
from dashboard.phone.drawing import roof_svg
from dashboard.phone.hours import hours_facts
from dashboard.phone.seen import TOP_FIRST, Seen, aged, is_stale, void_of
from dashboard.tables.crew_day import Visit, early_after, verdicts_for, visits
from dashboard.text.verdict_words import MEASURE_WORDS


def day_facts(seen: Seen) -> dict[str, Any]:
    """All that the page says of the day."""
    view, crew = seen.view, seen.crew
    known = crew in {row.crew for row in view.branch.crews}
    mine = [v for v in visits(view, view.gate_day) if v.planned.placement.crew == crew]
    ahead = (view.gate_day - view.asked_at.date()).days
    day = seen.say("day", day=long_day_words(view.gate_day), time=seen.time(view.asked_at))
    return {
        "day": day if ahead == 1 else f"{day} {seen.say('other_day')}",
        "crews": [row.crew for row in view.branch.crews],
        "crew": crew,
        "known": known,
        "advice": seen.tongue.word(ADVICE_ONLY),
        "visits": [_visit(seen, visit) for visit in mine],
        "idle": _idle(seen) if known and not mine else None,
    }


def _idle(seen: Seen) -> dict[str, Any]:
    """A crew with nothing placed still sees the weather at the branch."""
    verdicts = verdicts_for(seen.view, "")
    words = seen.say("nothing_placed", crew=seen.crew, day=day_words(seen.view.gate_day))
    cards = _cards(seen, verdicts, TOP_FIRST) if verdicts else []
    lent = _lent(seen)
    return {"words": words, "lent": lent, "cards": cards, "hours": hours_facts(seen, verdicts)}


def _visit(seen: Seen, visit: Visit) -> dict[str, Any]:
    view, tongue = seen.view, seen.tongue
    hours = view.hours.get(visit.stage.stage)
    needed = frozenset(EXPOSURES)
    if hours is not None and hours.steps:
        needed = frozenset(step.exposure for step in hours.steps)
    asked = [v for v in verdicts_for(view, visit.stage.stage) if v.exposure in needed]
    order = [exposure for exposure in TOP_FIRST if exposure in needed]
    kind = tongue.word(KIND_WORDS[visit.stage.kind])
    roof = next((v for v in asked if v.exposure == "roof"), None)
    return {
        "title": f"{kind} {visit.stage.stage}: {visit.job.customer or visit.job.job}",
        "line": _line(seen, visit),
        "lent": _lent(seen, visit.stage.stage),
        "answer": _answer(seen, order[0], asked),
        "cards": _cards(seen, asked, order),
        "off_roof": None if roof is None else aged(seen, roof, _off_roof(seen, roof)),
        "hours": hours_facts(seen, asked),
        "standby": _standby(seen, visit),
        "early": _early(seen, visit, asked),
        "load": _load(seen, visit),
        "tools": [tongue.word(tool) for tool in _tools(view, visit)],
        "site": _site(seen, visit),
        "cautions": [tongue.word(one.text) for one in site_cautions(visit.stage.kind)],
        "roofs": _roofs(seen, visit),
        "stage": visit.stage.stage,
    }


def _line(seen: Seen, visit: Visit) -> str:
    placement, say = visit.planned.placement, seen.say
    halves = say(visit.halves)
    if visit.days > 1:
        halves = say("day_of", halves=halves, number=visit.day_number, days=visit.days)
    names = [person for person in placement.people if person != placement.lead]
    others = say("with", names=seen.tongue.listed(names)) if names else say("alone")
    firm = say("firm" if visit.planned.firm else "pencilled")
    told = f"{halves[:1].upper()}{halves[1:]}, {firm}."
    return f"{told} {say('leads', lead=placement.lead, others=others)}"


def _lent(seen: Seen, stage: str = "") -> list[str]:
    """Who comes along from another crew, and who of this one is with another."""
    come, gone = come_and_gone(seen.view.lent, seen.view.gate_day, seen.crew, stage)
    return [
        *(seen.say("lent_comes", person=one.person, crew=one.home) for one in come),
        *(seen.say("lent_goes", person=one.person, crew=one.crew) for one in gone),
    ]


def _answer(seen: Seen, top: Exposure, asked: Sequence[DayVerdict]) -> dict[str, Any]:
    """One sentence for the most exposed work of the visit."""
    verdict = next((v for v in asked if v.exposure == top), None)
    word = "unknown" if verdict is None else verdict.verdict
    if verdict is not None and word == "go":
        spans = [
            seen.say("span", start=f"{w.start:%H:%M}", end=f"{w.end:%H:%M}")
            for w in verdict.windows
        ]
        words = seen.say(f"answer_go_{top}", windows=seen.tongue.listed(spans))
    else:
        words = seen.say(f"answer_{word}", work=seen.say(f"{top}_noun"))
    return aged(seen, verdict, words) | {"word": word}


def _cards(
    seen: Seen, verdicts: Sequence[DayVerdict], order: Sequence[Exposure]
) -> list[dict[str, Any]]:
    by_exposure = {verdict.exposure: verdict for verdict in verdicts}
    return [_card(seen, exposure, by_exposure.get(exposure)) for exposure in order]


def _card(seen: Seen, exposure: Exposure, verdict: DayVerdict | None) -> dict[str, Any]:
    say = seen.say
    if verdict is None:
        return {
            "exposure": say(exposure), "word": "unknown", "windows": [], "void": None,
            "stale": False, "why": say("not_asked"), "needed": "", "until": "",
        }  # fmt: skip
    until = (
        say("counts_never")
        if verdict.void_after is None
        else say("counts_until", time=seen.time(verdict.void_after))
    )
    needed = verdict.window_needed_h
    return {
        "exposure": say(exposure),
        "word": verdict.verdict,
        "windows": [_window(seen, window) for window in verdict.windows],
        "void": void_of(seen, verdict),
        "stale": is_stale(seen, verdict),
        "why": _why(seen, verdict),
        "needed": say("needed", hours=decimal(needed, 1)) if needed > 0 else "",
        "until": until,
    }


def _window(seen: Seen, window: Window) -> str:
    chance = whole_percent(window.p_go)
    start, end = f"{window.start:%H:%M}", f"{window.end:%H:%M}"
    return seen.say("window", start=start, end=end, chance=chance)


def _why(seen: Seen, verdict: DayVerdict) -> str:
    """Out of the hours themselves: the layers' own sentence is in English."""
    if verdict.verdict == "go":
        return ""
    counted = Counter(
        hour.measure for hour in verdict.hours if hour.verdict == verdict.verdict and hour.measure
    )
    names = [
        seen.tongue.word(MEASURE_WORDS.get(name, name.replace("_", " ")))
        for name, _ in counted.most_common(2)
    ]
    if verdict.verdict == "unknown":
        if not names:
            return seen.say("why_no_forecast")
        return seen.say("why_unknown", measures=", ".join(names))
    ahead = [h for h in verdict.hours if h.hour + timedelta(hours=1) > verdict.asked_at]
    if verdict.hours and not ahead:
        return seen.say("why_no_hours")
    return seen.say("why_no-go", measures=", ".join(names)) if names else seen.say("why_no_window")


def _off_roof(seen: Seen, roof: DayVerdict) -> str:
    if not roof.windows:
        return seen.say("nobody_up")
    return " ".join(
        seen.say("off_roof_by", start=f"{one.start:%H:%M}", end=f"{one.end:%H:%M}")
        for one in roof.windows
    )


def _standby(seen: Seen, visit: Visit) -> str:
    view, say = seen.view, seen.say
    hours = view.hours.get(visit.stage.stage)
    if hours is None or not hours.exposed:
        return ""
    crew = visit.planned.placement.crew
    chosen = of_visit(view.plan.standby, view.gate_day, crew, visit.stage.stage)
    if chosen is not None and chosen.placement is not None:
        job = next((row for row in view.branch.jobs if row.job == chosen.job), None)
        other = next(row for row in view.branch.stages if row.stage == chosen.placement.stage)
        where = say("address_is", address=job.address) if job is not None and job.address else ""
        key = "standby_site" if chosen.instead == "another site" else "standby_stage"
        kind = seen.tongue.word(KIND_WORDS[other.kind])
        told = decimal(chosen.hours, 1)
        return say(key, kind=kind, stage=other.stage, hours=told, where=where)
    steps = ground_steps(hours)
    if not steps:
        return say("standby_nothing")
    names = [seen.tongue.word(step.step.replace("_", " ")) for step in steps]
    person_h = decimal(sum(step.p50_h for step in steps), 1)
    return say("standby_ground", steps=seen.tongue.listed(names), hours=person_h)


def _early(seen: Seen, visit: Visit, asked: Sequence[DayVerdict]) -> dict[str, Any] | None:
    """What to ask the office for when the crew is done early; it ages as the verdicts do."""
    early = early_after(seen.view, visit)
    if early is None or not worth_asking(early, asked):
        return None
    kind = seen.tongue.word(KIND_WORDS[early.stage.kind])
    job, day = early.job, day_words(early.planned_on)
    told = seen.say("early_next", kind=kind, stage=early.stage.stage, day=day)
    where = seen.say("address_is", address=job.address) if job.address else ""
    words = f"{told}{seen.say('early_own_go') if early.exposed else ''}{where}"
    first_void = min(asked, key=lambda one: one.void_after or seen.now, default=None)
    return aged(seen, first_void, words)


def _load(seen: Seen, visit: Visit) -> list[str]:
    takeoff = seen.view.takeoffs.get(visit.job.job)
    if takeoff is None:
        return []
    told = []
    for line in load_list(seen.view.branch, visit.stage, takeoff):
        item = seen.tongue.word(line.item)
        words = seen.say("load_line", count=line.counted, item=item)
        told.append(f"{words}, {seen.say('spare', count=line.spare)}" if line.spare else words)
    return told


def _tools(view: BoardView, visit: Visit) -> tuple[str, ...]:
    coverings = [plane.covering for plane in view.branch.planes if plane.job == visit.job.job]
    return tools(visit.stage, visit.job, coverings)


def _site(seen: Seen, visit: Visit) -> list[tuple[str, str, str]]:
    """Name, words, and the digits to call."""
    job, say = visit.job, seen.say
    digits = "".join(sign for sign in job.phone if sign.isdigit() or sign == "+")
    rows = [
        (say("address"), job.address, ""),
        (say("contact"), job.contact, ""),
        (say("phone"), job.phone, digits),
        (say("access"), job.access_note, ""),
    ]
    return [row for row in rows if row[1]]


def _roofs(seen: Seen, visit: Visit) -> list[tuple[Any, str]]:
    """Each plane's drawing and its caption, where the work is on the roof."""
    takeoff = seen.view.takeoffs.get(visit.job.job)
    if takeoff is None or not takeoff.planes or visit.stage.kind not in ("roof", "return"):
        return []
    found = []
    units = seen.view.branch.settings.units
    for marks in job_marks(seen.view.branch, takeoff):
        drawn = roof_svg(marks, units, seen.tongue)
        if drawn is not None:
            caption = seen.say("plane", plane=marks.plane, scale=drawn[1])
            found.append((drawn[0], caption))
    return found
