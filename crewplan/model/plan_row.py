"""The row of a published plan, as a folder keeps it."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from annotated_types import Ge, doc

Half = Literal["am", "pm"]


@dataclass(frozen=True, slots=True)
class PlanRow:
    """Where a published stage, or a part of one, stands."""

    stage: Annotated[str, doc("a row of stages")]
    crew: Annotated[str, doc("who goes")]
    start_on: Annotated[date, doc("first day")]
    start_half: Annotated[Half, doc("first half-day")] = "am"
    part: Annotated[int, Ge(1), doc("1 for the first part")] = 1
    half_days: Annotated[int, Ge(1), doc("the crew's working half-days that it takes")] = 1
    pinned: Annotated[bool, doc("yes: crew and start stay")] = False
    lent: Annotated[
        tuple[str, ...], doc("people of other crews who go with it; `;` between; empty: nobody")
    ] = ()
