"""A crew lead's whole evening and day on a telephone, from a fresh start."""

import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from test_forms_in_a_browser import board_on

sys.path.insert(0, str(Path(__file__).parents[1] / "store"))

from board_views import placement
from form_boards import view_of_today

from crewplan.model.horizon import Horizon
from crewplan.model.plan import Planned
from crewplan.running.board_view import BoardView

pytestmark = pytest.mark.browser
Opener = Callable[..., tuple[Page, list[str]]]


def blue_today() -> BoardView:
    """The small branch's crew Blue on S1 today by the machine's clock, a go for three hours."""
    view = view_of_today()
    days = tuple(view.gate_day + timedelta(days=at) for at in range(10))
    placed = placement("S1", "Blue", 0, people=("Ann",), lead="Ann")
    plan = replace(
        view.plan, horizon=Horizon(days, frozenset()), planned=(Planned(placed, "J1", True, ()),)
    )
    return replace(view, plan=plan)


def test_what_a_colleague_measured_stops_an_open_page_within_a_minute(
    open_page: Opener, tmp_path: Path
) -> None:
    board = board_on(tmp_path, blue_today())
    mine, said = open_page("about:blank")
    mine.clock.install()
    mine.goto(f"{board}/small/tomorrow?crew=Blue")
    expect(lift(mine)).to_have_text("GO")
    box = mine.get_by_role("checkbox").first
    box.check()
    other, _ = open_page(f"{board}/enter/reading?stage=S1&crew=Blue")
    other.get_by_label("Gust (highest shown)").fill("31")
    other.get_by_role("button", name="Keep", exact=True).click()
    expect(other.locator(".stop")).to_be_visible()
    # the server's clock tells a page's age: as if it had been open for a minute
    mine.evaluate(
        "document.body.setAttribute('data-made-at', new Date(Date.now() - 61000).toISOString())"
    )
    mine.clock.fast_forward(6_000)
    expect(lift(mine)).to_have_text("NO-GO", timeout=10_000)
    expect(mine.locator(".stop")).to_contain_text("Today NO-GO for lift")
    expect(mine.get_by_role("checkbox").first).to_be_checked()
    assert said == []


def lift(page: Page) -> Any:
    return page.locator(".verdict").first.locator(".sign b:visible")


def test_go_load_hours_and_a_gust_that_stops_it(open_page: Opener, tmp_path: Path) -> None:
    board = board_on(tmp_path, blue_today())
    page, said = open_page(f"{board}/small/tomorrow?crew=Blue&lang=es")
    expect(lift(page)).to_have_text("ADELANTE")
    expect(page.get_by_text("Adelante: suban módulos")).to_be_visible()

    page.get_by_role("link", name="Carga").click()
    boxes = page.get_by_role("checkbox")
    boxes.nth(0).check()
    boxes.nth(1).check()
    page.get_by_role("button", name="Guardar", exact=True).click()
    expect(page.get_by_role("status")).to_contain_text("Guardado")
    page.get_by_role("link", name="Volver").click()
    page.wait_for_url("**/small/tomorrow*")
    expect(page.get_by_text("Carga: 2 de")).to_be_visible()

    page.get_by_role("link", name="Horas").click()
    page.get_by_label("Horas trabajadas, cada uno").fill("6")
    page.get_by_role("button", name="Guardar", exact=True).click()
    expect(page.get_by_role("status")).to_contain_text("Guardado")
    page.get_by_role("link", name="Volver").click()
    page.wait_for_url("**/small/tomorrow*")
    expect(lift(page)).to_have_text("ADELANTE")

    page.get_by_role("link", name="Viento medido").click()
    page.get_by_label("Ráfaga (la más alta)").fill("31")
    page.get_by_role("button", name="Guardar", exact=True).click()
    expect(page.locator(".stop")).to_contain_text("Hoy ALTO, subir módulos")
    page.get_by_role("link", name="Volver").click()
    page.wait_for_url("**/small/tomorrow*")
    expect(lift(page)).to_have_text("ALTO")
    expect(page.locator(".stop")).to_contain_text("Hoy ALTO, subir módulos: medido en el techo")
    expect(page.get_by_text("En espera: subir módulos, alto.")).to_be_visible()
    assert said == []
