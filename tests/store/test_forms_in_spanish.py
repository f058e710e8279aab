"""Whoever comes from the Spanish page of the telephone writes down in Spanish."""

import re
from importlib.resources import files
from pathlib import Path
from typing import get_args

import pytest
from form_boards import LEAD, client_of, view_of_today
from form_pages import fields_in, opened
from store_cases import PLAN, tables_into

from crewplan.model.work_rows import Cause
from crewplan.store.connecting import open_store
from crewplan.store.place import place_of
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
        for name in (*FORMS, "base", "macros", "questions")
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
