"""A feed's server on the loopback interface, for each test its own."""

import pytest
from feed_server import FeedServer

from crewplan.intake.feeds.asking import asker


@pytest.fixture
def server():
    one = FeedServer()
    yield one
    one.close()


@pytest.fixture
def asking(server, tmp_path):
    """Makes ways to ask the server; pauses are short, answers are kept in one file."""
    ends = []

    def make(**changes):
        ask, end = asker(
            server.host,
            "office@example.com",
            tmp_path / "kept.sqlite",
            **({"backoff_s": 0.01, "whole_s": 0.6} | changes),
        )
        ends.append(end)
        return ask

    yield make
    for end in ends:
        end()
