"""Somebody asks for a longer search: what is shown stays until there is a cheaper plan."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import pytest
from board_views import one_job_view
from test_looks_follow_a_database import SUNDAY, Base, Making

from crewplan.running.board_view import BoardView
from crewplan.running.looks import Failed, LiveLooks, Made
from crewplan.running.solving import Progress


@dataclass
class Longer(Making):
    """A search on its way."""

    seconds: float = 7.0
    told: Progress | None = None
    stopped: bool = False

    def progress(self) -> Progress | None:
        return self.told

    def stop(self) -> None:
        self.stopped = True


def priced(cents: int) -> BoardView:
    view = one_job_view()
    return replace(view, plan=replace(view.plan, objective=cents, bound=min(cents, 100)))


class Board:
    """Looks on the tests' clock; each look and search that was begun."""

    def __init__(self) -> None:
        self.base, self.begun, self.searches, self.seconds = Base(), [], [], 0.0
        self.meanwhile: Callable[[], None] = lambda: None
        """Done by somebody else while a search is being begun."""
        self.first = priced(1000)
        self.looks = LiveLooks(
            Made(1, self.first),
            self.base,
            self._make,
            lambda: SUNDAY,
            steady=lambda: self.seconds,
            search=self._search,
        )

    def _make(self) -> Any:
        self.begun.append(Making())
        return self.begun[-1]

    def _search(self, longest_s: float) -> Any:
        assert longest_s == 60
        self.meanwhile()
        self.searches.append(Longer())
        return self.searches[-1]

    def after(self, seconds: float) -> None:
        self.seconds += seconds
        self.looks.tick()


@pytest.fixture
def board() -> Board:
    return Board()


def began(board: Board) -> Longer:
    assert board.looks.search(60, "mia")
    board.after(1)
    (search,) = board.searches
    return search


def test_what_is_shown_stays_until_a_cheaper_week_is_there(board: Board) -> None:
    search = began(board)
    search.told = Progress(900, 800, 1 / 9)
    one = board.looks.searched()
    assert one is not None
    assert (one.by, one.state, one.before_cents) == ("mia", "running", 1000)
    assert one.progress == Progress(900, 800, 1 / 9)
    assert board.looks.now().view.plan.objective == 1000
    assert "search for a better week is running" in " ".join(board.looks.now().news)
    search.result = Made(1, priced(900))
    board.after(1)
    assert board.looks.now().view.plan.objective == 900
    assert board.looks.searched().state == "better"  # type: ignore[union-attr]
    assert not board.looks.searching()


@pytest.mark.parametrize("cents", [1000, 1500])
def test_a_week_that_is_no_cheaper_is_not_shown(board: Board, cents: int) -> None:
    began(board).result = Made(1, priced(cents))
    board.after(1)
    assert board.looks.now().view.plan.objective == 1000
    assert board.looks.searched().state == "no better"  # type: ignore[union-attr]


def test_of_newer_tables_the_new_week_is_right_though_it_is_dearer(board: Board) -> None:
    began(board).result = Made(2, priced(1500))
    board.after(1)
    assert board.looks.now().view.plan.objective == 1500


def test_enough_is_said_once_and_the_best_is_awaited(board: Board) -> None:
    search = began(board)
    board.looks.enough()
    assert search.stopped
    assert not search.ended
    assert board.looks.searched().state == "stopping"  # type: ignore[union-attr]
    search.result = Made(1, priced(950))
    board.after(1)
    assert board.looks.now().view.plan.objective == 950


def test_a_search_that_is_being_begun_is_one_that_runs(board: Board) -> None:
    heard: list[bool] = []
    board.meanwhile = lambda: heard.extend((board.looks.searching(), board.looks.search(60, "max")))
    began(board)
    assert heard == [True, False]
    assert board.looks.searching()


def test_enough_that_is_said_while_it_begins_stops_it(board: Board) -> None:
    board.meanwhile = board.looks.enough
    search = began(board)
    assert search.stopped
    search.result = Made(1, priced(950))
    board.after(1)
    assert board.looks.now().view.plan.objective == 950


def test_a_search_that_cannot_be_begun_is_not_tried_again_by_itself(board: Board) -> None:
    def no_room() -> None:
        raise OSError("no process")

    board.meanwhile = no_room
    with pytest.raises(OSError, match="no process"):
        began(board)
    assert not board.looks.searching()
    assert board.looks.searched() is None


def test_one_search_at_a_time(board: Board) -> None:
    began(board)
    assert not board.looks.search(60, "max")
    board.after(1)
    assert len(board.searches) == 1


def test_a_search_that_fails_says_why_and_changes_nothing(board: Board) -> None:
    began(board).result = Failed("the process that planned ended early")
    board.after(1)
    one = board.looks.searched()
    assert one is not None
    assert (one.state, one.why) == ("failed", "the process that planned ended early")
    assert board.looks.now().view is not None
    assert board.looks.now().view.plan.objective == 1000
    assert "could not be made" not in " ".join(board.looks.now().news)
    assert board.looks.search(60, "mia")  # and it may be tried again


def test_entries_in_between_are_kept_apart_and_looked_at_afterwards(board: Board) -> None:
    search = began(board)
    board.base.versions += ["requirements"]
    board.after(1)
    assert board.looks.searched().entries_since  # type: ignore[union-attr]
    assert not board.begun
    search.result = Made(1, priced(900))
    board.after(1)
    board.after(200)
    assert len(board.begun) == 1


def test_a_look_that_is_being_made_comes_first(board: Board) -> None:
    board.base.versions += ["import"]
    board.after(100)
    assert board.looks.search(60, "mia")
    board.after(1)
    assert board.looks.waits_for_a_look()
    assert not board.searches
    board.begun[0].result = Made(2, priced(1100))
    board.after(1)
    board.after(1)
    assert len(board.searches) == 1
    board.looks.end()
    assert board.searches[0].ended


def test_a_search_that_waits_can_be_given_up(board: Board) -> None:
    board.base.versions += ["import"]
    board.after(100)
    board.looks.search(60, "mia")
    board.looks.enough()
    assert not board.looks.searching()
