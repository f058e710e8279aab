"""The crew's sheet: what a crew needs for one stage, as HTML, PDF, text and JSON."""

from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.crew_sheet.whole import CrewSheet, crew_sheet

__all__ = ["CrewSheet", "SheetFacts", "crew_sheet"]
