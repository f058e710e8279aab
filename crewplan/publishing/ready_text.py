"""What stages wait for, and today's calls, as text for a terminal."""

from collections.abc import Iterator
from datetime import date

from crewplan.model.chance import whole_percent
from crewplan.publishing.call_words import deadline_words, gist, say, whom
from crewplan.publishing.day_words import day_words
from crewplan.publishing.ready_json import substitutes
from crewplan.publishing.terminal import table_text
from crewplan.publishing.waiting_words import plain, waiting_words
from crewplan.readiness.dates import Dates, dates
from crewplan.readiness.orders import Order
from crewplan.readiness.ready_view import ReadyView, StageReady
from crewplan.readiness.shortages import Shortage

_COLUMNS = (
    "stage", "its day", "chance", "held by", "state", "ready", "50 %", "80 %", "chance by day",
)  # fmt: skip
PAST_RECORD = "*"
PAST_RECORD_WORDS = (
    " past the record: extrapolated by a log-normal law laid through it; no plan rests on it."
)
_DAY_COLUMNS = ("day", "chance", "ready", "held by", "state")


def _share(chance: float) -> str:
    return f"{whole_percent(chance)}%"


def _day(day: date | None, none: str = "") -> str:
    return none if day is None else day_words(day)


def _date_of(view: ReadyView, day: date | None, guess: date | None) -> str:
    """A date of 50 or 80 %; today's or an earlier one is in hand; marked past the record."""
    if day is None:
        return f"{day_words(guess)}{PAST_RECORD}" if guess else "not known"
    return "now" if day <= view.today else day_words(day)


def half_words(view: ReadyView, told: Dates) -> str:
    """The day by which it is there with 50 %."""
    return _date_of(view, told.half_on, told.half_past_record)


def likely_words(view: ReadyView, told: Dates) -> str:
    """The day by which it is there with 80 %."""
    return _date_of(view, told.likely_on, told.likely_past_record)


def _first_ready(view: ReadyView, stage: StageReady) -> str:
    found = next((day for day in view.horizon.days if stage.outlook.ready[view.days.index(day)]),
                 None)  # fmt: skip
    return f"from {day_words(found)}" if found else "no"


def _by_day(view: ReadyView, stage: StageReady) -> str:
    """Chances over the horizon's days, each with the first day that has it."""
    told: list[str] = []
    last = ""
    for day in view.horizon.days:
        chance = _share(float(stage.outlook.p[view.days.index(day)]))
        if chance != last:
            told.append(f"{chance} {day_words(day)}")
        last = chance
    return ", ".join(told)


def _overview(view: ReadyView, stage: StageReady) -> tuple[str, ...]:
    outlook, at = stage.outlook, view.days.index(stage.wanted_on)
    return (
        stage.row.stage,
        _day(stage.wanted_on) + ("" if stage.published else " (promise)"),
        _share(float(outlook.p[at])),
        plain(outlook.holds[at]) or "nothing",
        plain(outlook.state[at]),
        _first_ready(view, stage),
        half_words(view, outlook.dates),
        likely_words(view, outlook.dates),
        _by_day(view, stage),
    )


def _all(view: ReadyView) -> list[str]:
    """A row a stage that waits for something; the names of the others."""
    at_once = [stage for stage in view.stages
               if all(stage.outlook.ready[view.days.index(day)]
                      for day in (*view.horizon.days, stage.wanted_on))]  # fmt: skip
    waiting = [stage for stage in view.stages if stage not in at_once]
    lines = []
    if waiting:
        lines.append(table_text(_COLUMNS, (_overview(view, stage) for stage in waiting)))
    if at_once:
        names = ", ".join(stage.row.stage for stage in at_once)
        lines.append(f"All in hand on each of these days: {names}.")
    return lines or ["No stage is left to do."]


def _if_asked(view: ReadyView, told: Dates) -> str:
    if told == Dates(None, None):
        return ""
    half, likely = half_words(view, told), likely_words(view, told)
    return f"; if asked for today, 50 % by {half} and 80 % by {likely}"


def need_sentences(view: ReadyView, stage: StageReady) -> Iterator[str]:
    """What a stage asks for besides material: a sentence each, in hand or not."""
    rows = {row.kind: row for row in view.branch.requirements if row.job == stage.job.job}
    for need in stage.waits.states:
        row = rows.get(need.kind)
        words = waiting_words(need.kind, row) if row else f"{plain(need.kind)}: {plain(need.state)}"
        if need.state == "asked":
            by = dates(need.p, view.days)
            words += (
                f"; 50 % by {_day(by.half_on, 'a day past the record')}, "
                f"80 % by {_day(by.likely_on, 'a day past the record')}"
            )
        if need.kind in stage.ask_by:
            words += f"; {deadline_words(stage.ask_by[need.kind], view)}"
        if need.kind in stage.if_asked_today:
            words += _if_asked(view, stage.if_asked_today[need.kind])
        yield f"{words}."
    yield from (f"call to make: {plain(kind)}." for kind in stage.waits.calls)


def shortage_sentence(view: ReadyView, short: Shortage) -> str:
    """What a stage lacks of one item on its day, and when that comes."""
    covered = (
        f"on order, all here by {day_words(short.covered_on)}"
        if short.covered_on is not None
        else f"nothing on order covers it ({short.to_order:g} to order)"
    )
    others = substitutes(view, short.item)
    stand_in = f"; {' or '.join(others)} may stand in" if others else ""
    return (
        f"{short.stage}: {short.missing:g} of the {short.needed:g} {short.item} missing on "
        f"{day_words(short.wanted_on)}; {covered}{stand_in}."
    )


def _order(view: ReadyView, order: Order) -> str:
    by = order.order_by
    if by.by is None:
        when = f"lead time unknown ({by.note})"
    elif by.by < view.today:
        when = f"should have been ordered by {day_words(by.by)}"
    else:
        when = f"by {day_words(by.by)}"
    source = f" from {order.supplier}" if order.supplier else ""
    return (
        f"Order {order.quantity:g} of {order.item}{source}: {when}; wanted on "
        f"{day_words(order.wanted_on)} for {', '.join(order.stages)}."
    )


def _material(view: ReadyView) -> list[str]:
    short = [shortage_sentence(view, item) for stage in view.stages for item in stage.short]
    lines = ["Missing material:", *(f"  {line}" for line in short)] if short else []
    return lines + [_order(view, order) for order in view.orders]


def _first_inspection(view: ReadyView, stage: StageReady) -> Iterator[str]:
    if stage.row.kind == "inspection":
        told = view.first_visits[stage.job.job]
        right = f"; putting it right takes {told.return_h:g} h" if told.p_fail else ""
        yield f"fails the first time with {whole_percent(told.p_fail)} % ({told.note}){right}."


def _one_stage(view: ReadyView, stage: StageReady) -> list[str]:
    name = f"{stage.row.stage} (job {stage.job.job}, {stage.row.kind})"
    if stage.done:
        return [f"{name} is done."]
    outlook = stage.outlook
    day = day_words(stage.wanted_on)
    its_day = f"published for {day}" if stage.published else f"promised by {day}, not published"
    rows = [
        (
            day_words(view.days[at]),
            _share(float(outlook.p[at])),
            "yes" if outlook.ready[at] else "no",
            plain(outlook.holds[at]) or "nothing",
            plain(outlook.state[at]),
        )
        for at in (view.days.index(day) for day in view.horizon.days)
    ]
    verdict = "ready on its day" if view.ready_on_its_day(stage) else "not ready on its day"
    return [
        f"{name}, {its_day}: {verdict}.",
        table_text(_DAY_COLUMNS, rows),
        f"50 % likely: {half_words(view, outlook.dates)};"
        f" 80 % likely: {likely_words(view, outlook.dates)}.",
        *need_sentences(view, stage),
        *_first_inspection(view, stage),
    ]


def ready_text(view: ReadyView, mark: str, *, one: bool) -> str:
    """All stages in a line each, or `one` stage day by day; then the missing material."""
    lines = [mark] if mark else []
    first, last = view.horizon.days[0], view.horizon.days[-1]
    lines.append(
        f"{view.branch.settings.name}: what stages wait for, {first.isoformat()} to "
        f"{last.isoformat()}"
    )
    if one:
        for stage in view.stages:
            lines += _one_stage(view, stage)
    else:
        lines += _all(view)
    lines += _material(view)
    if any(f"{PAST_RECORD} " in f"{line} " or f"{PAST_RECORD}." in line for line in lines):
        lines.append(f"{PAST_RECORD}{PAST_RECORD_WORDS}")
    return "\n".join(lines + [f"note: {note}" for note in view.notes])


def calls_text(view: ReadyView, mark: str) -> str:
    """Today's calls, the dearest delay first."""
    lines = [mark] if mark else []
    lines.append(f"{view.branch.settings.name}: calls to make on {view.today.isoformat()}")
    if not view.calls:
        return "\n".join([*lines, "Nothing to chase today."])
    currency = view.branch.settings.currency
    for place, call in enumerate(view.calls, start=1):
        lines += [
            f"{place}. {whom(view, call)}: {plain(call.item or call.kind)}"
            + (f" of job {call.job}" if call.job else ""),
            f"   {gist(view, call)}.",
            f"   A day of delay costs {call.cost_a_day:,.2f} {currency}.",
            f"   {say(view, call)}",
        ]
    return "\n".join(lines)
