"""A feed's host may be slow, broken, changed or wrong: a sentence, a kept answer, never a guess."""

from datetime import UTC, datetime, timedelta
from email.utils import format_datetime

import pytest
from feed_server import Reply, cut_off, drip, silent

from crewplan.intake.feeds import FeedFault, Question
from crewplan.intake.feeds.feed import NotThere

GRID = Question("/grid", kept_for_s=0.0)
"""Asked anew each time, as a run some minutes later would."""


def _ok(body="one", **more):
    return Reply({"told": body}, **more)


def test_who_asks_and_how_to_reach_them_is_sent_along(server, asking):
    server.replies["/grid"] = [_ok()]
    asking()(GRID)
    agent = server.asked[0][1]["User-Agent"]
    assert agent.startswith("crewplan/")
    assert "office@example.com" in agent


def test_an_answer_of_the_last_minutes_is_taken_without_asking_again(server, asking):
    server.replies["/grid"] = [_ok("one"), _ok("two")]
    ask = asking()
    first, second = ask(Question("/grid")), asking()(Question("/grid"))
    assert first.body == second.body
    assert len(server.asked) == 1
    assert not second.stale


def test_unchanged_304_confirms_the_kept_answer(server, asking):
    server.replies["/grid"] = [_ok(headers={"ETag": '"a"'})]
    ask = asking()
    ask(GRID)
    before = datetime.now(UTC)
    again = ask(GRID)
    assert server.asked[1][1]["If-None-Match"] == '"a"'
    assert again.body == b'{"told": "one"}'
    assert again.as_of >= before
    assert not again.stale


def test_busy_429_is_asked_again_after_the_pause_it_asks_for(server, asking):
    server.replies["/grid"] = [Reply({}, 429, headers={"Retry-After": "0"}), _ok("then")]
    assert b"then" in asking()(GRID).body
    assert len(server.asked) == 2


def test_a_long_pause_asked_for_is_kept_by_asking_no_more_in_this_run(server, asking):
    server.replies["/grid"] = [Reply({}, 429, headers={"Retry-After": "3600"}), _ok("then")]
    with pytest.raises(FeedFault, match="asks for a long pause"):
        asking()(GRID)
    assert len(server.asked) == 1


@pytest.mark.parametrize("status", [500, 502, 503, 504])
def test_a_failing_server_is_asked_three_times_and_then_told(server, asking, status):
    server.replies["/grid"] = [Reply({"title": "x"}, status, "application/problem+json")]
    with pytest.raises(FeedFault, match="gave no answer"):
        asking()(GRID)
    assert len(server.asked) == 3


def test_a_server_that_recovers_is_heard(server, asking):
    server.replies["/grid"] = [Reply({}, 500), Reply({}, 503), _ok("then")]
    assert b"then" in asking()(GRID).body


BROKEN = {
    "cut off half-way": _ok("x" * 500, spoil=cut_off),
    "slow, byte by byte": _ok("x" * 500, spoil=drip),
    "silent": _ok(spoil=silent),
    "a page in place of data": Reply(b"<html>please log in</html>", 200, "text/html"),
    "called data and is none": Reply(b'{"told": ', 200, "application/json"),
    "failing": Reply({}, 500),
}


@pytest.mark.parametrize("how", BROKEN)
def test_a_broken_answer_is_a_sentence_and_never_half_an_answer(server, asking, how):
    server.replies["/grid"] = [BROKEN[how]]
    with pytest.raises(FeedFault, match="gave no answer"):
        asking(whole_s=0.3)(GRID)


@pytest.mark.parametrize("how", BROKEN)
def test_a_broken_answer_never_takes_the_place_of_a_kept_one(server, asking, how):
    server.replies["/grid"] = [_ok("good"), BROKEN[how]]
    ask = asking(whole_s=0.3)
    first = ask(GRID)
    stood_in = ask(GRID)
    assert stood_in.body == first.body
    assert stood_in.stale
    assert stood_in.as_of <= datetime.now(UTC)
    server.replies["/grid"] = [_ok("new")]
    assert b"new" in ask(GRID).body


def test_an_answer_larger_than_any_forecast_is_not_read_to_its_end(server, asking):
    server.replies["/grid"] = [_ok("x" * 200_000)]
    with pytest.raises(FeedFault, match="too large"):
        asking(largest_bytes=100_000)(GRID)


def test_last_modified_in_the_future_does_not_freeze_the_forecast(server, asking):
    # asked whether it has changed since tomorrow, a server says no until then
    tomorrow = format_datetime(datetime.now(UTC) + timedelta(days=1), usegmt=True)
    server.replies["/grid"] = [
        _ok("one", headers={"Last-Modified": tomorrow}),
        _ok("two", headers={"Last-Modified": tomorrow}),
    ]
    ask = asking()
    ask(GRID)
    assert b"two" in ask(GRID).body
    assert "If-Modified-Since" not in server.asked[1][1]


def test_last_modified_in_the_past_is_asked_about(server, asking):
    before = format_datetime(datetime.now(UTC) - timedelta(hours=1), usegmt=True)
    server.replies["/grid"] = [_ok("one", headers={"Last-Modified": before})]
    ask = asking()
    ask(GRID)
    assert b"one" in ask(GRID).body
    assert server.asked[1][1]["If-Modified-Since"] == before


def test_what_a_server_does_not_have_is_told_apart_from_a_failure(server, asking):
    with pytest.raises(NotThere):
        asking()(GRID)
    assert len(server.asked) == 1


def test_no_other_host_is_followed(server, asking):
    elsewhere = "http://127.0.0.1:9/else"
    server.replies["/grid"] = [Reply({}, 302, headers={"Location": elsewhere})]
    with pytest.raises(FeedFault):
        asking()(GRID)


def test_a_key_stays_out_of_kept_answers_and_sentences(server, asking, tmp_path):
    server.replies["/v1/ensemble"] = [_ok(), Reply({}, 500)]
    ask = asking()
    ask(Question("/v1/ensemble", {"apikey": "s3cretkey", "models": "m"}))
    assert "s3cretkey" in server.asked[0][0]
    for file in tmp_path.iterdir():
        assert b"s3cretkey" not in file.read_bytes()
    server.replies["/other"] = [Reply({}, 500)]
    with pytest.raises(FeedFault) as told:
        ask(Question("/other", {"apikey": "s3cretkey"}, kept_for_s=0.0))
    assert "s3cretkey" not in str(told.value)


def test_a_host_that_is_not_there_is_told_in_one_sentence(tmp_path):
    from crewplan.intake.feeds.asking import asker

    ask, end = asker("http://127.0.0.1:9", "x@example.com", tmp_path / "k.sqlite", backoff_s=0.01)
    with pytest.raises(FeedFault, match=r"^http://127.0.0.1:9 gave no answer: no connection$"):
        ask(GRID)
    end()
