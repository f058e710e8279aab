"""The whole sheet in its order."""

from dataclasses import dataclass

from crewplan.publishing.crew_sheet.blocks import Lines, Section
from crewplan.publishing.crew_sheet.briefing import briefing
from crewplan.publishing.crew_sheet.closing import closing
from crewplan.publishing.crew_sheet.cut_list import cut_list
from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.crew_sheet.head import (
    banner,
    hours_by_step,
    short_title,
    title,
    who_where_when,
)
from crewplan.publishing.crew_sheet.loading import load_out
from crewplan.publishing.crew_sheet.roof import roof_pages
from crewplan.publishing.crew_sheet.weather import can_we_work, limits_obeyed
from crewplan.publishing.crew_sheet.work_order import order_of_work
from crewplan.publishing.site_cautions import ADVICE_ONLY, site_cautions


@dataclass(frozen=True, slots=True)
class CrewSheet:
    """What is printed, whatever it is printed as."""

    title: str
    short_title: str
    """For the head of every page."""
    banner: tuple[str, ...]
    mark: str
    """Of a clock set by hand, for every page; else empty."""
    advice: str
    sections: tuple[Section, ...]


def _mind(facts: SheetFacts) -> Section:
    kind = "return" if facts.on_roof and facts.stage.kind != "roof" else facts.stage.kind
    lines = tuple(f"{caution.text} ({caution.source})" for caution in site_cautions(kind))
    return Section("Mind", (Lines(lines),))


def crew_sheet(facts: SheetFacts) -> CrewSheet:
    """The sheet of one stage."""
    sections = (
        who_where_when(facts),
        can_we_work(facts),
        hours_by_step(facts),
        load_out(facts),
        order_of_work(facts),
        cut_list(facts),
        _mind(facts),
        *roof_pages(facts),
        briefing(facts),
        closing(facts),
        limits_obeyed(facts),
    )
    return CrewSheet(
        title(facts),
        short_title(facts),
        banner(facts),
        facts.mark,
        ADVICE_ONLY,
        tuple(section for section in sections if section is not None),
    )
