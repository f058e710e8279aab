"""Looks for garbage are off while much is made, and on again afterwards, whatever happens."""

import gc

import pytest

from crewplan.running.all_stays import all_of_it_stays


def test_off_within_on_afterwards_also_where_one_is_within_another() -> None:
    assert gc.isenabled()
    with all_of_it_stays():
        assert not gc.isenabled()
        with all_of_it_stays():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()


def test_on_again_after_an_error() -> None:
    with pytest.raises(ValueError, match="of the maker"), all_of_it_stays():
        raise ValueError("of the maker")
    assert gc.isenabled()


def test_as_a_decorator_at_every_call() -> None:
    @all_of_it_stays()
    def make() -> bool:
        return gc.isenabled()

    assert not make()
    assert gc.isenabled()
    assert not make()
    assert gc.isenabled()
