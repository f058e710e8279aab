"""Whoever comes from the Spanish page of the telephone writes down in Spanish."""

import re
import sqlite3
from collections.abc import Iterator
from html import unescape
from importlib.resources import files
from pathlib import Path
from typing import get_args

import pytest
from form_boards import LEAD, client_of, view_of_today
from form_pages import fields_in, opened
from store_cases import PLAN, tables_into

from crewplan.model.work_rows import Cause
from crewplan.publishing.hours_text import _ASKED
from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import expected_of
from crewplan.store.place import place_of
from crewplan.store.records import found_records, records_about
from crewplan.store.words_of_errors import _WORDS, fault_of
from dashboard.phone.language import words

FORMS = ("hours", "load", "progress", "reading")
CAME = "stage=S1&crew=Blue&from=telephone&lang=es"
ENGLISH = (
    "the",
    "of",
    "and",
    "Keep",
    "Back",
    "kept",
    "worked",
    "lost",
    "Measured",
    "nothing",
    "on",
)


@pytest.fixture
def board(tmp_path: Path) -> str:
    """The small branch in a database, S1 published with Blue."""
    folder = tmp_path / "db"
    tables_into(open_store(place_of(folder), create=True), tmp_path / "planned", plan=PLAN)
    return str(folder)


def visible(page: str) -> str:
    body = re.sub(r"<script.*?</script>|<datalist.*?</datalist>", "", page.split("<body")[1])
    return re.sub(r"<[^>]+>", "\n", body)


def test_every_sentence_of_these_forms_has_its_spanish() -> None:
    entries = files("dashboard.entries")
    sources = [
        entries.joinpath("templates", f"{name}.html").read_text("utf-8")
        for name in (*FORMS, "base", "macros", "questions", "conflict")
    ] + [entries.joinpath("forms", f"{name}.py").read_text("utf-8") for name in FORMS]
    said = {
        found
        for source in sources
        for found in re.findall(r"""(?:\bw|\bwords)\(\s*["']([^"']+)["']""", source)
    }
    labels = {
        label
        for source in sources[:4]
        for label in re.findall(r"""m\.\w+\(values, faults, "\w+", "([^"]+)\"""", source)
    }
    causes = {cause.replace("_", " ") for cause in get_args(Cause) if cause}
    assert len(said) > 40
    assert len(labels) > 10
    assert {word for word in said | labels | causes if word not in words("es")} - {"the "} == set()
    gaps = re.compile(r"\{\w+\}")
    for english in said:
        if english != "the ":
            assert sorted(gaps.findall(english)) == sorted(gaps.findall(words("es")[english]))


@pytest.mark.parametrize("form", FORMS)
def test_a_form_of_the_spanish_page_has_no_english_and_any_other_has(form: str, board: str) -> None:
    client = client_of(board, LEAD, view_of_today())
    page = opened(client, f"/enter/{form}?{CAME}")
    assert '<html lang="es">' in page
    for word in ENGLISH:
        assert not re.search(rf"\b{word}\b", visible(page)), word
    english = opened(client, f"/enter/{form}?stage=S1&crew=Blue")
    assert '<html lang="en">' in english
    assert ">Keep<" in english
    assert ">Keep<" in opened(client, f"/enter/{form}?{CAME}".replace("lang=es", "lang=xx"))


def test_what_is_kept_missing_or_over_a_limit_is_told_in_spanish(board: str) -> None:
    client = client_of(board, LEAD, view_of_today())

    def answer(form: str, **typed: str) -> str:
        address = f"/enter/{form}?{CAME}"
        values = fields_in(opened(client, address)).to_dict() | typed
        return client.post(address, data=values, follow_redirects=True).get_data(as_text=True)

    assert "Diga cuántas horas se trabajaron o cuántas se perdieron." in answer("hours")
    assert "Guardado: 6 h de" in answer("hours", hours="6")
    assert "Elija" not in answer("reading", gust="1")
    over = answer("reading", gust="31")
    assert "Hoy ALTO, subir módulos" in over
    assert "La medida quedó guardada." in over


FAULTS = (
    ("hours", "hours", "seven", "«seven» no es un número mayor que 0 y hasta 24."),
    ("hours", "lost", "25", "«25» no es un número mayor que 0 y hasta 24."),
    ("hours", "day", "4 May", "«4 May» no es una fecha escrita así: 2026-05-04."),
    ("hours", "day", "", "Está vacío; se espera una fecha escrita así: 2026-05-04."),
    ("hours", "person", "Zoe", "Zoe: no hay nadie con ese nombre en sus cuadrillas."),
    ("progress", "done rails", "half", "«half» no es un número de 0 a 100."),
    ("progress", "done rails", "101", "«101» no es un número de 0 a 100."),
    ("progress", "day", "soon", "«soon» no es una fecha escrita así: 2026-05-04."),
    ("reading", "gust", "a lot", "«a lot» no es un número."),
    ("reading", "gust", "999", "«999» no es una velocidad de viento de 0 a 134 mph."),
    ("reading", "time", "late", "«late» no es una hora del día, como 09:40."),
    ("reading", "time", "23:59", "Las 23:59 todavía no llegan: diga cuándo se midió."),
)


@pytest.mark.parametrize(("form", "field", "typed", "told"), FAULTS)
def test_what_is_wrong_with_a_field_is_told_in_the_language_of_the_form(
    board: str, form: str, field: str, typed: str, told: str
) -> None:
    client = client_of(board, LEAD, view_of_today())

    def faults(came: str) -> list[str]:
        address = f"/enter/{form}?{came}"
        values = fields_in(opened(client, address)).to_dict() | {"unit": "mph", field: typed}
        answer = client.post(address, data=values)
        assert answer.status_code == 422
        return [unescape(one) for one in re.findall(r'class="fault"[^>]*>(.*?)</p>', answer.text)]

    english = re.compile(r"\b(is not|is empty|nobody of|still to come)\b")
    assert told in faults(CAME)
    assert not list(filter(english.search, faults(CAME)))
    assert list(filter(english.search, faults("stage=S1&crew=Blue")))


def test_each_column_that_these_forms_check_says_in_spanish_what_it_holds() -> None:
    columns = (("hours_worked", "day"), ("hours_worked", "hours"), ("progress", "day"))
    assert [told for each in columns if (told := expected_of(*each)) not in words("es")] == []


def test_a_change_by_somebody_else_meanwhile_is_told_in_the_language_of_the_form(
    board: str,
) -> None:
    client = client_of(board, LEAD, view_of_today())
    address = f"/enter/progress?{CAME}"
    first, second = (fields_in(opened(client, address)).to_dict() for _ in range(2))
    assert client.post(address, data=first | {"done rails": "50"}).status_code == 303
    page = client.post(address, data=second | {"done rails": "75"})
    assert page.status_code == 409
    shown = visible(page.text)
    for told in ("Todavía no se guardó:", "Lo que escribió cada uno", "Poner lo mío en su lugar"):
        assert told in shown
    assert "después de que usted abrió la página." in shown
    for word in (*ENGLISH, "changed", "Was", "Yours", "empty", "share"):
        assert not re.search(rf"\b{word}\b", shown), word


def test_odd_hours_are_asked_about_in_the_language_of_the_form_and_kept_in_english(
    board: str,
) -> None:
    client = client_of(board, LEAD, view_of_today())
    address = f"/enter/hours?{CAME}"
    typed = fields_in(opened(client, address)).to_dict() | {"hours": "20"}
    asked = client.post(address, data=typed)
    assert asked.status_code == 409
    shown = visible(asked.text)
    assert re.search(r"tiene 20 h el \d{4}-\d\d-\d\d, más de \d+ h. ¿Es correcto\?", shown)
    assert "is that right" not in asked.text
    sure = fields_in(asked.text).to_dict() | {"sure": "yes"}
    assert client.post(address, data=sure).status_code == 303
    with open_store(place_of(board)).read() as connection:
        kept = found_records(connection, records_about("S1", ()))
    assert "is that right?" in next(one for one in kept if one.kind == "answer").contents["asked"]


def test_each_question_that_hours_raise_has_its_spanish_with_the_same_gaps() -> None:
    before_they_are_kept = {kind: told for kind, told in _ASKED.items() if kind != "several times"}
    assert [told for told in before_they_are_kept.values() if told not in words("es")] == []
    gaps = re.compile(r"\{[\w:]+\}")
    for told in before_they_are_kept.values():
        assert sorted(gaps.findall(told)) == sorted(gaps.findall(words("es")[told]))


def test_a_database_that_fails_is_told_in_the_language_of_the_form(
    board: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert [told for _, told in _WORDS if told not in words("es")] == []
    client = client_of(board, LEAD, view_of_today())

    def busy(self: Store) -> Iterator[None]:
        raise fault_of("crewplan.db", sqlite3.OperationalError("database is locked"))

    monkeypatch.setattr(Store, "read", busy)
    answer = client.get(f"/enter/hours?{CAME}")
    assert answer.status_code == 503
    assert "La base de datos no responde" in answer.text
    assert "crewplan.db: alguien más la tuvo ocupada demasiado tiempo" in answer.text
    english = client.get("/enter/hours?stage=S1&crew=Blue").text
    assert "crewplan.db: somebody else kept it busy for too long; nothing was written." in english
