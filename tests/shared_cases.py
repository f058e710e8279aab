"""A branch whose amounts, and names of other crews, can be told from all other text."""

import re
from collections.abc import Iterable
from dataclasses import replace

from board_views import CREWS

from crewplan.model.material_rows import Equipment, Item
from crewplan.running.board_view import BoardView

PASSWORD = "seven wet shingles on Tuesday"
NAMES = {"manager": "Mo", "lead": "Lee", "owner": "Olu", "office": "Ofra"}
LEADS = ("Alder",)
"""The crew of the lead's account."""
LINKED = "Birch"
"""The crew of the links."""

# by hand: no other number of the test branch has these digits in a row
_PRICE, _HOUR, _ITEM, _DAY = 91_337, 77_313, 31_373, 61_616
_CENTS = 42_424_200
_DIGITS = ("91337", "77313", "31373", "61616", "42424")


def marked(view: BoardView) -> BoardView:
    """The view with a mark in every amount, name, telephone and address."""
    branch = view.branch
    crew_of = {job.job: "Nemo" for job in branch.jobs}
    # a job belongs to its roof stage's crew, which is planned first
    crew_of |= {p.job: p.placement.crew for p in reversed(view.plan.planned)}
    jobs = tuple(
        replace(
            job,
            price=float(_PRICE),
            customer=f"Customer {crew_of[job.job]} {job.job}",
            phone=f"phone-{crew_of[job.job]}-{job.job}",
            address=f"{crew_of[job.job]} Lane {job.job}",
            contact=f"Contact {crew_of[job.job]} {job.job}",
        )
        for job in branch.jobs
    )  # fmt: skip
    planned = tuple(
        replace(p, placement=replace(p.placement, cost={"travel": _CENTS}))
        for p in view.plan.planned
    )
    unplaced = tuple(replace(u, cents=_CENTS) for u in view.plan.unplaced)
    return replace(
        view,
        branch=replace(
            branch,
            jobs=jobs,
            people=tuple(replace(p, cost_per_h=float(_HOUR)) for p in branch.people),
            items=(Item("clamps", "mid clamp", 1, float(_ITEM)),),
            equipment=(Equipment("boom", 1, float(_DAY)),),
        ),
        plan=replace(
            view.plan, planned=planned, unplaced=unplaced, objective=_CENTS, bound=_CENTS,
            rule_of_thumb=_CENTS, parts={"travel": _CENTS},
        ),
        warnings=("J2 of Birch has a price of 91,337",),
    )  # fmt: skip


def money_in(body: str) -> list[str]:
    """Marked amounts that a body holds, however they are written."""
    told = re.sub(r"[?]m=\d+[.]\d+(?=\")", "", body)  # when a file of the board was written
    digits = re.sub(r"(?<=\d)[,.\s](?=\d)", "", told)
    return [mark for mark in _DIGITS if mark in digits]


def others_in(body: str, mine: Iterable[str] = LEADS) -> list[str]:
    """Names of crews, of their people and of their customers that are not for `mine`."""
    others = [crew for crew in (*CREWS, "Nemo") if crew not in mine]
    return [crew for crew in others if re.search(rf"\b{crew}\b", body)]
