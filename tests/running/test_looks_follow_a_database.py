"""The board follows its database: what causes a new look, and what is shown and told meanwhile."""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

import pytest
from board_views import one_job_view

from crewplan.model.hours_so_far import HoursSoFar, hours_so_far
from crewplan.running.board_view import BoardView
from crewplan.running.looks import Failed, LiveLooks, Made, OneLook

SUNDAY = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)
"""As the view is of: 18:00 in Chicago."""


@dataclass
class Base:
    """A database in which versions come."""

    versions: list[str] = field(default_factory=lambda: ["import"])
    broken: str = ""
    sums: HoursSoFar = field(default_factory=lambda: hours_so_far(()))

    def newest(self) -> int:
        if self.broken:
            raise OSError(self.broken)
        return len(self.versions)

    def since(self, version: int) -> frozenset[str]:
        return frozenset(self.versions[version:])

    def worked(self, stages: tuple[str, ...]) -> HoursSoFar:
        assert stages == ("S1",)
        return self.sums


@dataclass
class Making:
    """A look on its way."""

    result: Made | Failed | None = None
    ended: bool = False

    def outcome(self) -> Made | Failed | None:
        return self.result

    def end(self) -> None:
        self.ended = True


class Board:
    """Looks of the tests, their clocks and all that was begun."""

    def __init__(self) -> None:
        self.base, self.begun, self.seconds, self.clock = Base(), list[Making](), 0.0, SUNDAY
        self.prepared = list[tuple[BoardView, BoardView]]()
        self.unmade = ""
        self.first = one_job_view()
        self.looks = LiveLooks(
            Made(1, self.first),
            self.base,
            self._make,
            lambda: self.clock,
            prepare=self._prepare,
            steady=lambda: self.seconds,
        )

    def _prepare(self, view: BoardView) -> None:
        if self.unmade:
            raise RuntimeError(self.unmade)
        self.prepared.append((view, self.shown()))

    def _make(self) -> Making:
        self.begun.append(Making())
        return self.begun[-1]

    def came(self, *versions: str) -> None:
        self.base.versions += versions

    def tick(self, seconds: float = 1.0) -> str:
        """A second passes; the words on the page."""
        self.seconds += seconds
        self.looks.tick()
        return " ".join(self.looks.now().news)

    def shown(self) -> BoardView:
        return self.looks.now().view


@pytest.fixture
def board() -> Board:
    return Board()


@pytest.mark.parametrize("what", ["import", "plan", "requirements", "progress"])
def test_an_import_a_plan_a_state_a_pin_and_progress_make_a_new_look(
    board: Board, what: str
) -> None:
    board.tick()
    assert board.begun == []
    board.came(what)
    board.tick()
    assert len(board.begun) == 1


def test_hours_make_no_new_look_and_are_shown_at_once(board: Board) -> None:
    board.came("entry", "hours_worked")
    assert board.tick() == "Made from version 1."
    assert board.begun == []
    board.base.sums = replace(board.base.sums, of_people={("Ann", ""): 3_500_000})
    assert board.shown().worked().of_people == {("Ann", ""): 3_500_000}


def test_the_last_look_is_shown_until_the_newer_one_is_there(board: Board) -> None:
    before = board.shown()
    board.came("import")
    assert "a newer look is being made" in board.tick()
    assert board.shown() is before
    newer = one_job_view("no-go")
    board.begun[0].result = Made(2, newer)
    assert board.tick() == "Made from version 2."
    assert board.shown().verdicts == newer.verdicts
    assert board.shown() is board.shown()  # the same object: what was made of it can be kept


def test_entries_that_come_while_a_look_is_made_make_one_more_a_minute_after_it(
    board: Board,
) -> None:
    board.came("import")
    board.tick()
    board.came("requirements")
    board.tick()
    assert len(board.begun) == 1
    board.begun[0].result = Made(2, one_job_view())
    assert "a newer look comes next" in board.tick(10)
    board.came("requirements", "progress")
    board.tick(58)
    assert len(board.begun) == 1
    board.tick(2)
    board.tick()
    assert len(board.begun) == 2


def test_an_import_waits_no_longer_than_the_look_before_it_took(board: Board) -> None:
    board.came("requirements")
    board.tick()
    board.begun[0].result = Made(2, one_job_view())
    board.tick(10)  # a look of 10 s: pages get as long
    board.came("import")
    board.tick(8)
    assert len(board.begun) == 1
    board.tick(3)
    assert len(board.begun) == 2


def test_a_newer_look_is_shown_when_its_pages_are_prepared(board: Board) -> None:
    before = board.shown()
    board.came("import")
    board.tick()
    board.begun[0].result = Made(2, one_job_view())
    board.tick()
    assert board.prepared == [(board.shown(), before)]


def test_a_page_that_cannot_be_made_ahead_does_not_end_the_following(
    board: Board, caplog: pytest.LogCaptureFixture
) -> None:
    board.unmade = "no such page"
    for number in (2, 3):
        board.came("import")
        board.tick(100)
        board.begun[-1].result = made = Made(number, one_job_view())
        board.tick(100)
        assert board.shown().plan is made.view.plan
    assert caplog.text.count("no such page") == 2


def test_a_new_day_makes_a_new_look(board: Board) -> None:
    board.clock = SUNDAY + timedelta(hours=5, minutes=59)  # 23:59 in Chicago
    board.tick()
    assert board.begun == []
    board.clock += timedelta(minutes=2)
    board.tick()
    board.tick()
    assert len(board.begun) == 1


def test_a_look_that_fails_is_told_with_the_age_of_what_is_shown_and_tried_again(
    board: Board,
) -> None:
    before = board.shown()
    board.came("import")
    board.tick()
    board.begun[0].result = Failed("the plan failed its own check")
    told = board.tick(600)
    assert "could not be made: the plan failed its own check. This one is 10 minutes old." in told
    assert board.shown() is before
    board.tick(30)
    assert len(board.begun) == 1
    assert "Something has changed" in board.tick(31)
    board.begun[1].result = Made(2, one_job_view())
    assert board.tick() == "Made from version 2."


def test_a_database_that_does_not_answer_leaves_the_page_as_it_is_and_says_so(
    board: Board,
) -> None:
    before = board.shown()
    board.base.broken = "the server does not answer"
    assert "cannot be read: the server does not answer. " in board.tick(3 * 3600)
    assert "3 hours old" in board.tick()
    assert board.shown() is before
    board.base.broken = ""
    assert board.tick() == "Made from version 1."


def test_a_look_on_its_way_ends_with_the_board(board: Board) -> None:
    board.came("import")
    board.tick()
    board.looks.end()
    assert board.begun[0].ended


def test_a_plain_folder_shows_one_look_for_good() -> None:
    view = one_job_view()
    looks = OneLook(view)
    assert looks.now().view is view
    assert looks.now().news == ()
