"""All crew sheets of a day in one PDF: by address and by command."""

from dataclasses import replace
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from at_a_terminal import crewplan
from board_views import full_view
from shared_cases import marked
from sheet_cases import week

from crewplan.model.account import Actor
from crewplan.running.board_view import BoardView
from crewplan.running.demo import demo_folder
from crewplan.running.sheeting import stages_of_day
from crewplan.running.viewing import chances_void_after, verdicts_of_day
from dashboard.app import create_app
from dashboard.guard.doors import unshared


def shown() -> BoardView:
    """The demo's week as a board has it."""
    of = week()
    day = of.plan.horizon.days[0]
    return replace(
        full_view(), branch=of.branch, plan=of.plan, gate_day=day, takeoffs=of.takeoffs,
        hours=of.hours, asked_at=of.clock.now, clock=of.clock.kind,
        verdicts=verdicts_of_day(of, day),
        chances_void_after=chances_void_after(of.branch, of.clock),
    )  # fmt: skip


def pages_of(data: bytes) -> list[str]:
    document = pdfium.PdfDocument(data)
    return [page.get_textpage().get_text_range() for page in document]


def sheets_in(pages: list[str]) -> int:
    return sum("page 1 of " in page for page in pages)


def test_every_crew_of_the_day_has_its_sheet_with_pages_of_its_own() -> None:
    view = shown()
    client = create_app(view).server.test_client()
    answer = client.get("/sheets.pdf")
    assert answer.mimetype == "application/pdf"
    pages = pages_of(answer.get_data())
    stages = stages_of_day(week(), view.gate_day)
    assert len(stages) > 3
    assert sheets_in(pages) == len(stages)
    crews = [p.placement.crew for s in stages for p in view.plan.planned if p.placement.stage == s]
    firsts = [page for page in pages if "page 1 of " in page]
    for stage, crew, page in zip(stages, crews, firsts, strict=True):
        assert stage in page
        assert crew in page
        assert "clock set by hand: not for work" in page
    # of each sheet the last page is the one that it counts to
    counted = [int(page.split("page 1 of ")[1].split()[0]) for page in firsts]
    assert sum(counted) == len(pages)


def test_a_lead_gets_their_own_crew_s_sheet_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    view = shown()
    crews = [p.placement.crew for p in view.plan.planned if 0 in p.placement.cells]
    lead = Actor("Lee", "lead", frozenset({crews[0]}))
    monkeypatch.setattr("dashboard.app.unshared", lambda _: unshared(lead))
    pages = pages_of(create_app(view).server.test_client().get("/sheets.pdf").get_data())
    firsts = [page for page in pages if "page 1 of " in page]
    assert len(firsts) >= 1
    assert all(crews[0] in page for page in firsts)
    others = {row.crew for row in view.branch.crews} - {crews[0]}
    assert not [name for name in others for page in firsts if f"Crew {name}" in page]


@pytest.mark.parametrize(("day", "told"), [("2026-05-09", "nobody"), ("soon", "Say the day")])
def test_a_day_without_sheets_is_said_so(day: str, told: str) -> None:
    answer = create_app(marked(full_view())).server.test_client().get(f"/sheets.pdf?day={day}")
    assert (answer.status_code, told in answer.text) == (404, True)


def test_the_command_writes_the_day_and_refuses_what_is_none(tmp_path: Path) -> None:
    out = tmp_path / "day.pdf"
    done = crewplan("sheet", demo_folder(), "--day", "2026-05-04", "--out", out, "--seconds", "2")
    assert done.returncode == 0, done.stderr
    assert "not for work" in done.stderr
    assert sheets_in(pages_of(out.read_bytes())) > 3
    for words, told in (
        (("--day", "2026-05-03", "--out", out), "no working day"),
        (("--day", "2026-05-04"), "one PDF"),
        (("--out", out), "give a stage, or --day"),
        (("J27-roof", "--day", "2026-05-04", "--out", out), "give a stage, or --day"),
        (("--day", "2027-05-04", "--out", out, "--seconds", "1"), "not among the days planned"),
    ):
        refused = crewplan("sheet", demo_folder(), *words)
        assert (refused.returncode, told in refused.stderr) == (64, True), words
