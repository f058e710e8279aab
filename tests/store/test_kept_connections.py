"""A board keeps connections open: what others do to the database meanwhile still shows."""

import threading
from pathlib import Path

import pytest
from store_cases import AT, now_in, tables_into

from crewplan.store.backup import back_up, restore
from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import enter
from crewplan.store.place import place_of

HOURS = {"day": "2026-05-04", "stage": "S1", "person": "Ann", "hours": "3.5"}


@pytest.fixture
def board(branch_store: Store, source: str) -> Store:
    """A store as a board has it, with connections open."""
    kept = open_store(place_of(source), keep_open=True)
    assert "hours_worked" not in now_in(kept).rows
    return kept


def test_what_another_process_writes_is_seen(board: Store, branch_store: Store) -> None:
    enter(branch_store, "hours_worked", HOURS, "bob", AT)
    assert len(now_in(board).rows["hours_worked"]) == 1


def test_a_restore_under_a_running_board_shows(
    board: Store, branch_store: Store, source: str, tmp_path: Path
) -> None:
    back_up(place_of(source), tmp_path / "kept.db")
    enter(board, "hours_worked", HOURS, "bob", AT)
    restore(tmp_path / "kept.db", source, replace=True)
    assert "hours_worked" not in now_in(board).rows
    assert enter(board, "hours_worked", HOURS, "bob", AT) == 2


def test_a_file_that_was_put_in_the_place_of_the_first_is_the_one_that_is_read(
    tmp_path: Path,
) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    for folder in (first, second):
        tables_into(open_store(place_of(folder), create=True), tmp_path / f"t{folder.name}")
    enter(open_store(place_of(second)), "hours_worked", HOURS, "bob", AT)
    board = open_store(place_of(first), keep_open=True)
    assert "hours_worked" not in now_in(board).rows
    (second / "crewplan.db").replace(first / "crewplan.db")
    assert len(now_in(board).rows["hours_worked"]) == 1


def test_a_write_that_came_to_nothing_leaves_nothing_behind(board: Store) -> None:
    with pytest.raises(RuntimeError, match="stop"), board.write():
        raise RuntimeError("stop")
    assert enter(board, "hours_worked", HOURS, "bob", AT) == 2


def test_more_threads_than_kept_connections_all_get_their_turn(board: Store) -> None:
    done: list[int] = []

    def work() -> None:
        done.append(enter(board, "hours_worked", HOURS, "bob", AT))
        now_in(board)

    threads = [threading.Thread(target=work) for _ in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(done) == list(range(2, 22))
