"""What was written down about a visit, on the crew's page, read anew each time it is shown."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime

from dash import html

from crewplan.model.account import Actor
from crewplan.model.work_rows import HoursWorked
from crewplan.publishing.day_words import day_words
from crewplan.running.board_view import BoardView
from crewplan.store.connecting import Store
from crewplan.store.faults import StoreFault
from crewplan.store.recent import hours_of_stage, progress_of_stage, readings_on, ticks_of
from dashboard.entries.desk import today_of
from dashboard.entries.forms.load import items_of
from dashboard.entries.lists import links_of
from dashboard.entries.shut import no_go_words
from dashboard.pages.parts import Child, lines, shape


@dataclass(frozen=True, slots=True)
class Notes:
    """Writes the section of one stage; nothing where the board has no database."""

    store: Store | None
    actor: Actor

    def of(self, view: BoardView, stage: str, crew: str) -> list[Child]:
        """What was written down, and links to write more."""
        if self.store is None:
            return []
        shut: list[str] = []
        try:
            items = self._items(view, stage, crew)
            shut = self._shut_today(view, crew)
        except StoreFault as fault:
            items = [f"{fault}."]
        links: list[Child] = [
            html.A(words, href=address, **{"data-whole": "document"})
            for words, address in links_of(self.actor, stage, crew)
        ]
        return [
            html.H3("Written down"),
            *(
                html.Div([shape("no-go"), html.P(f"Today {words}")], className="stop", role="alert")
                for words in shut
            ),
            lines(items or ["Nothing yet."]),
            *([html.P(links, className="no-print write-down")] if links else []),
        ]

    def _shut_today(self, view: BoardView, crew: str) -> list[str]:
        """A crew's own readings over a limit; they are up there, though the page is of tomorrow."""
        today = today_of(view, datetime.now(UTC))
        if self.store is None or today == view.gate_day:  # the verdicts themselves say it then
            return []
        with self.store.read() as connection:
            measured = readings_on(connection, today, crew=crew)
        told = (no_go_words(view, one.reading) for one in measured)
        return [words for words in told if words]

    def _items(self, view: BoardView, stage: str, crew: str) -> list[Child | list[Child]]:
        day = view.gate_day
        assert self.store is not None  # `of` has seen to it
        with self.store.read() as connection:
            hours = tuple(hours_of_stage(connection, stage).values())
            shares = progress_of_stage(connection, stage)
            ticks = ticks_of(connection, stage, day)
            measured = readings_on(connection, day, crew=crew)
        told: list[Child | list[Child]] = []
        items = items_of(view, stage)
        ticked = sum(item in ticks and ticks[item].ticked for item in items)
        if ticks:
            told.append(f"Load: {ticked} of {len(items)} ticked.")
        for kept in measured[-3:]:
            at = kept.reading.at.astimezone(view.asked_at.tzinfo)
            told.append(
                f"Wind on the {kept.reading.where} at {at:%H:%M}: {kept.words} ({kept.reading.by})."
            )
        told += [
            f"{step.replace('_', ' ').capitalize()}: {row.share_done * 100:.4g} % done"
            f" ({day_words(row.day)})."
            for step, row in shares.items()
        ]
        told += [_hours_words(by_day, *sums) for by_day, sums in _sums(hours)[-3:]]
        return told


def _sums(hours: Sequence[HoursWorked]) -> list[tuple[date, tuple[float, float]]]:
    """By day: hours worked, and lost."""
    days = sorted({row.day for row in hours})
    return [
        (
            day,
            (
                sum(row.hours for row in hours if row.day == day and not row.cause),
                sum(row.hours for row in hours if row.day == day and row.cause),
            ),
        )
        for day in days
    ]


def _hours_words(day: date, worked: float, lost: float) -> str:
    return f"{day_words(day)}: {worked:g} h worked" + (f", {lost:g} h lost." if lost else ".")
