"""Which clock is believed."""

from datetime import UTC, datetime

from crewplan.model.settings import Demo, Settings
from crewplan.running.clock import NOT_FOR_WORK, read_clock

HAND = datetime(2026, 5, 3, 23, tzinfo=UTC)
DEMO = datetime(2026, 5, 1, tzinfo=UTC)


def settings(demo: Demo | None = None) -> Settings:
    return Settings("x", "America/Chicago", 46.8, -92.1, demo=demo)


def test_a_clock_given_by_hand_wins_over_the_demos_and_is_marked() -> None:
    clock = read_clock(settings(Demo(DEMO)), HAND)
    assert (clock.now, clock.kind, clock.mark) == (HAND, "set by hand", NOT_FOR_WORK)


def test_the_demos_clock_is_marked_as_set_by_hand() -> None:
    assert read_clock(settings(Demo(DEMO))).mark == NOT_FOR_WORK


def test_without_either_the_machines_clock_is_asked() -> None:
    before = datetime.now(UTC)
    clock = read_clock(settings())
    assert before <= clock.now <= datetime.now(UTC)
    assert (clock.kind, clock.mark) == ("now", "")
