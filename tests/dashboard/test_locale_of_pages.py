"""Pages write days and numbers by the branch's locale; what other programs read does not."""

from dataclasses import replace

from board_views import full_view
from flask.testing import FlaskClient

from crewplan.running.board_view import BoardView
from dashboard.app import create_app


def _view(locale: str) -> BoardView:
    view = full_view()
    settings = replace(view.branch.settings, locale=locale, units="metric")
    return replace(view, branch=replace(view.branch, settings=settings))


def _client(locale: str) -> FlaskClient:
    return create_app(_view(locale)).server.test_client()


def test_two_boards_of_two_countries_in_one_process_keep_apart() -> None:
    german, american, plain = (_client(locale) for locale in ("en_DE", "en_US", ""))
    for _ in range(2):  # the second time from what was kept
        assert "Monday, May 4, 2026" in american.get("/small/tomorrow").text
        assert "Monday 4 May 2026" in plain.get("/small/tomorrow").text
        told = german.get("/small/tomorrow").text
        assert "2,5 h is needed" in told
        assert "2.5 h is needed" not in told
        assert "2.5 h is needed" in plain.get("/small/tomorrow").text


def test_what_a_spreadsheet_reads_is_the_same_in_every_country() -> None:
    german, plain = _client("en_DE"), _client("")
    for address in ("/hours/export/lost.csv", "/hours/export/margins.csv"):
        one, other = german.get(address), plain.get(address)
        assert one.status_code == other.status_code
        assert one.data == other.data
