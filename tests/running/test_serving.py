"""Ports on the loopback interface."""

import socket

import pytest

from crewplan.running.serving import DEFAULT_PORT, PortTaken, free_port


def test_a_port_in_use_is_refused_by_name_and_zero_gives_a_free_one() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(PortTaken, match=str(port)):
            free_port(port)
        assert free_port(0) not in (0, port)


def test_a_taken_default_gives_way_to_a_free_port(monkeypatch: pytest.MonkeyPatch) -> None:
    from crewplan.running import serving

    answers = iter([None, 50123])
    monkeypatch.setattr(serving, "_bindable", lambda port, host: next(answers))
    assert free_port(DEFAULT_PORT) == 50123
