"""A thousand damaged answers of feeds; ten times as many: tests/benchmarks/feed_answers.py."""

from mutated import mutate_and_gate


def test_of_a_thousand_damaged_answers_none_ends_in_an_error_or_opens_a_shut_hour():
    counted = mutate_and_gate(1_000, seed=1)
    assert counted["go while it blows"] == 0
    assert sum(counted.values()) == 1_000
    # the proof is only worth something where answers still come through
    assert counted["go in calm hours"] > 100
    assert counted["a sentence, nothing written"] > 100
    assert counted["unknown or no-go"] > 100
