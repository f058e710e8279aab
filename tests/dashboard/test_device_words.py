"""A list of open sessions is read by people: they know their phone, and no user agent."""

import pytest

from dashboard.text.device_words import device_words

WEBKIT = "AppleWebKit/537.36 (KHTML, like Gecko)"  # as browsers send it, by hand


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (f"Mozilla/5.0 (X11; Linux x86_64) {WEBKIT} Chrome/140.0 Safari/537.36", "Chrome on Linux"),
        (
            f"Mozilla/5.0 (Linux; Android 15; K) {WEBKIT} Chrome/140.0 Mobile Safari/537.36",
            "Chrome on Android",
        ),
        (
            f"Mozilla/5.0 (Windows NT 10.0; x64) {WEBKIT} Chrome/140.0 Safari/537.36 Edg/140",
            "Edge on Windows",
        ),
        (
            "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML,"
            " like Gecko) Version/18.0 Mobile/15E148 Safari/604.1",
            "Safari on an iPhone",
        ),
        ("Mozilla/5.0 (Macintosh; Intel Mac OS X 10.15) Firefox/140.0", "Firefox on a Mac"),
        ("curl/8.5.0", "curl/8.5.0"),
        ("", "a browser without a name"),
    ],
)
def test_a_session_is_named_by_browser_and_device(said: str, words: str) -> None:
    assert device_words(said) == words
