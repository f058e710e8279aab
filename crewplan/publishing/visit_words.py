"""What is out of the ordinary about a placement, in words: overtime, a shared drive."""

from collections.abc import Iterator

from crewplan.model.placement import Placement
from crewplan.publishing.reader import decimal


def visit_words(placement: Placement) -> Iterator[str]:
    """One clause each, without the stage's name; nothing for a visit like any other."""
    if placement.overtime_h > 0:
        yield (
            f"is expected to need {decimal(placement.overtime_h, 1)} person-hours after the shift"
        )
    if placement.with_visit:
        yield f"goes on one drive with {placement.with_visit}"
