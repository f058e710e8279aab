"""The crew's day on a telephone: two languages, no verdict past its time, small."""

import re
import string
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from html import unescape
from pathlib import Path

import pytest
from board_views import CREWS, day_verdicts, full_view, one_job_view, view
from builders import job, package_rows
from werkzeug.datastructures import LanguageAccept

from crewplan.model.account import Actor
from crewplan.publishing import load_list
from crewplan.publishing.kind_words import KIND_WORDS
from crewplan.publishing.roof_drawing import _KEY
from crewplan.publishing.site_cautions import _CAUTIONS, ADVICE_ONLY
from crewplan.running.board_view import BoardView
from crewplan.takeoff.words import TAKEOFF_ITEMS
from dashboard.app import create_app
from dashboard.phone import addresses
from dashboard.phone.drawing import gust_bars
from dashboard.phone.language import LANGUAGES, chosen_language, texts, words
from dashboard.tables.forecast_hours import Band, ForecastHour
from dashboard.text.verdict_words import MEASURE_WORDS

NOW = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)
PHONE = Path(addresses.__file__).parent
SAME_IN_BOTH = frozenset({"load_line", "all day"})


def shown(of: BoardView, crew: str, code: str = "en", now: datetime = NOW) -> str:
    app = create_app(of)
    with app.server.test_request_context("/small/tomorrow"):
        return addresses.phone_page(
            of, crew, Actor("Ada", "manager"), None, now, {"crew": crew}, code, True
        )


def fields_of(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def test_every_text_is_there_in_every_language_with_the_same_gaps() -> None:
    for key, by_language in texts().items():
        assert by_language.keys() == LANGUAGES.keys(), key
        gaps = {code: fields_of(text) for code, text in by_language.items()}
        assert len(set(map(frozenset, gaps.values()))) == 1, (key, gaps)
        assert all(text.strip() for text in by_language.values()), key
        if key not in SAME_IN_BOTH:
            assert by_language["en"] != by_language["es"], key


def test_no_text_is_in_the_catalogue_that_no_page_uses_and_none_is_missing() -> None:
    sources = [*PHONE.glob("*.py"), PHONE / "templates" / "day.html"]
    written = "\n".join(path.read_text("utf-8") for path in sources)
    made = [
        *(f"{kind}_{work}" for kind in ("answer_go",) for work in ("lift", "roof", "ground")),
        *(f"answer_{word}" for word in ("no-go", "unknown")),
        *(f"{work}{end}" for work in ("lift", "roof", "ground") for end in ("", "_short", "_noun")),
        *(f"where_{where}" for where in ("roof", "ground")),
        *("go", "no-go", "unknown", "am", "pm", "all day"),
    ]
    named = set(re.findall(r"""say\(\s*["']([^"']+)["']""", written))
    quoted = {key for key in texts() if f'"{key}"' in written or f"'{key}'" in written}
    assert named - texts().keys() == set()
    assert set(texts()) == quoted | {key for key in made if key in texts()}
    assert set(made) <= set(texts())


def words_of_the_trade() -> Iterator[str]:
    """All words of the program's own that a day may bring along."""
    yield from KIND_WORDS.values()
    yield from MEASURE_WORDS.values()
    yield from TAKEOFF_ITEMS
    yield from (step.step.replace("_", " ") for step in package_rows("steps"))
    for table in (load_list._LIFT_TOOLS, load_list._COVERING_TOOLS, load_list._KIND_TOOLS):
        for tools in table.values():
            yield from tools
    yield from (caution.text for told in _CAUTIONS.values() for caution in told)
    yield ADVICE_ONLY
    yield from (word for _, word in _KEY)
    yield from ("eave", "ridge", "line A", "line B", "attachment", "splice")


def test_every_word_of_the_trade_has_its_spanish() -> None:
    missing = {word for word in words_of_the_trade() if word not in words("es")}
    assert missing == set()


def visible(page: str) -> str:
    body = page.split("<body")[1]
    return unescape(re.sub(r"<[^>]+>", "\n", re.sub(r"<script.*?</script>", "", body)))


def test_no_english_is_left_on_the_spanish_page() -> None:
    idle = view((job("J1"),), crews=("Alder",), verdicts=day_verdicts("", "", "no-go"))
    pages = [visible(shown(full_view(), crew, "es")) for crew in CREWS]
    pages += [visible(shown(idle, "Alder", "es")), visible(shown(full_view(), "Nobody", "es"))]
    for page in pages:
        lines = {line.strip() for line in page.splitlines()}
        english = {text["en"] for key, text in texts().items() if key not in SAME_IN_BOTH}
        assert lines & (english - {text["es"] for text in texts().values()}) == {}.keys()
        assert lines & {word for word in words_of_the_trade() if words("es")[word] != word} == set()
        for word in (
            "the",
            "of",
            "and",
            "with",
            "until",
            "go",
            "gust",
            "roof",
            "lift",
            "Mon",
            "May",
        ):
            assert not re.search(rf"\b{word}\b", page), (word, page)


def test_the_spanish_page_says_the_word_and_the_hours() -> None:
    page = shown(full_view(), "Birch", "es")
    assert '<html lang="es">' in page
    assert "<b>ALTO</b>" in page
    assert "En espera: subir módulos, alto." in page
    assert "lunes, 4 de mayo de 2026" in page


@pytest.mark.parametrize(
    ("asked", "header", "code"),
    [
        ("", "es-MX,es;q=0.9,en;q=0.5", "es"),
        ("", "de-DE", "en"),
        ("", "", "en"),
        ("en", "es", "en"),
        ("es", "en", "es"),
        ("xx", "es", "es"),
    ],
)
def test_the_language_is_the_asked_one_or_the_browser_s(asked: str, header: str, code: str) -> None:
    pairs = [
        (part.split(";q=")[0], float(part.partition(";q=")[2] or 1))
        for part in header.split(",")
        if part
    ]
    assert chosen_language(asked, LanguageAccept(pairs)) == code


def test_the_address_and_the_browser_choose_the_language() -> None:
    client = create_app(full_view()).server.test_client()
    spanish = client.get("/small/tomorrow", headers={"Accept-Language": "es-US"})
    assert spanish.headers["Content-Language"] == "es"
    assert "Accept-Language" in spanish.headers["Vary"]
    assert "lang=en" in spanish.text
    english = client.get("/small/tomorrow?lang=en", headers={"Accept-Language": "es-US"})
    assert '<html lang="en">' in english.text


LATER = NOW + timedelta(hours=2)


def test_every_go_carries_the_time_after_which_it_is_void() -> None:
    page = shown(one_job_view(clock="now", void_after=LATER), "Alder")
    gos = re.findall(r"<(?:section|div)[^>]*>(?=\s*<p)", page)
    assert page.count("<b>GO</b>") == 3
    for opening in re.findall(r'<section class="verdict[^>]*>', page):
        assert f'data-void-after="{LATER.isoformat()}"' in opening
        assert "data-stale" not in opening
    assert gos


def test_a_page_that_is_sent_after_its_time_shows_no_go_as_a_go() -> None:
    page = shown(
        one_job_view(clock="now", void_after=LATER), "Alder", now=LATER + timedelta(hours=1)
    )
    assert page.count('data-stale="age"') >= 5  # three cards, the answer, off the roof, the hours


def test_without_a_verdict_it_is_unknown_and_the_answer_is_to_wait() -> None:
    page = shown(one_job_view(verdicts=()), "Alder")
    assert "<b>GO</b>" not in page
    assert "Wait: lift is unknown" in page


def test_a_visit_without_a_lift_is_answered_by_its_roof() -> None:
    told = tuple(v for v in one_job_view().verdicts if v.exposure != "ground")
    assert "Go: lift from 07:00 to 11:00, and not outside." in shown(
        one_job_view(verdicts=told), "Alder"
    )
    view_of_roof = one_job_view()
    hours = view_of_roof.hours["S1"]
    roof_alone = replace(hours, steps=hours.steps[:2])
    page = shown(replace(view_of_roof, hours={"S1": roof_alone}), "Alder")
    assert "Go: on the roof from 07:00 to 16:00" in page
    assert 'aria-label="Lifting modules"' not in page


def test_an_hour_without_a_gust_has_no_bar_but_a_question_mark() -> None:
    hours = [datetime(2026, 5, 4, at, tzinfo=UTC) for at in (7, 8)]
    told = (
        ForecastHour(hours[0], None, Band(4.0, 6.0, 8.0, 5)),
        ForecastHour(hours[1], None, None),
    )
    drawn = gust_bars(told, 11.6, "us", "Gusts")
    assert drawn is not None
    assert drawn.count('class="bar"') == 1
    assert ">?<" in drawn
    assert 'class="limit"' in drawn
    assert gust_bars(told[1:], 11.6, "us", "Gusts") is None


def test_money_is_nowhere_and_what_tables_say_is_never_taken_for_html() -> None:
    of = one_job_view()
    nasty = replace(of.branch.jobs[0], customer="<script>alert(1)</script>", access_note="<b>x</b>")
    page = shown(replace(of, branch=replace(of.branch, jobs=(nasty,))), "Alder")
    assert "<script>alert" not in page
    assert "&lt;b&gt;x&lt;/b&gt;" in page


def test_its_files_are_ours_alone_and_the_worker_may_keep_links() -> None:
    client = create_app(full_view()).server.test_client()
    worker = client.get("/small/worker.js")
    assert worker.headers["Service-Worker-Allowed"] == "/"
    assert worker.content_type.startswith("text/javascript")
    page = client.get("/small/tomorrow?crew=Alder").text
    assert re.findall(r"<script[^>]*>", page) == ['<script src="/small/phone.js">']
    assert "style=" not in re.sub(r"<svg.*?</svg>", "", page, flags=re.S)


def _late_next_day(lift: str = "go") -> BoardView:
    """Alder's next job, on Tuesday, was promised for Friday last."""
    of = full_view()
    jobs = tuple(
        replace(one, due_on=date(2026, 5, 1)) if one.job == "J7" else one for one in of.branch.jobs
    )
    verdicts = tuple(
        replace(one, verdict=lift) if one.exposure == "lift" else one for one in of.verdicts
    )
    return replace(of, branch=replace(of.branch, jobs=jobs), verdicts=verdicts)


@pytest.mark.parametrize(
    ("code", "asks"),
    [
        ("en", "Roof work S7 is yours on Tue 5 May: ask the office whether you may come today."),
        ("es", "S7 les toca el mar, 5 de may: pregunten a la oficina si pueden ir hoy."),
    ],
)
def test_a_crew_that_is_done_early_is_told_what_to_ask_for(code: str, asks: str) -> None:
    text = unescape(shown(_late_next_day(), "Alder", code))
    assert texts()["early"][code] in text
    assert asks in text
    assert texts()["early_own_go"][code] in text
    assert "Address: 7 Invented Lane." in text or "Dirección: 7 Invented Lane." in text
    assert texts()["early"][code] not in shown(full_view(), "Alder", code)


@pytest.mark.parametrize("lift", ["no-go", "unknown"])
def test_no_other_roof_is_named_on_a_day_that_is_no_go(lift: str) -> None:
    assert texts()["early"]["en"] not in shown(_late_next_day(lift), "Alder")


def test_what_to_ask_for_is_no_more_said_once_the_forecast_is_too_old() -> None:
    of = _late_next_day()
    later = NOW + timedelta(hours=1)
    verdicts = tuple(replace(one, void_after=later) for one in of.verdicts)
    running = replace(of, clock="now", verdicts=verdicts)
    [mark] = re.findall(r"<h3>If you are done early</h3>\n<div([^>]*)>", shown(running, "Alder"))
    assert f'data-void-after="{later.isoformat()}"' in mark
    assert "data-stale" not in mark
    after = shown(running, "Alder", now=later + timedelta(minutes=1))
    [mark] = re.findall(r"<h3>If you are done early</h3>\n<div([^>]*)>", after)
    assert 'data-stale="age"' in mark
