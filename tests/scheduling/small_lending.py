"""Small random choices in which people may be lent between crews, for hypothesis."""

from dataclasses import replace

from hypothesis import strategies as st
from small_choices import small_choices

from crewplan.model.placement import Keep, Lending

SEATS = (1, 2)


@st.composite
def small_lending(draw):
    """Each crew has two people; some placements can also be had with others, or without one."""
    choices = draw(small_choices())
    crew_of = {f"{crew} {seat}": crew for crew in choices.crews for seat in SEATS}
    more = []
    for placement in choices.placements:
        others = [name for name, crew in crew_of.items() if crew != placement.crew]
        own = [name for name, crew in crew_of.items() if crew == placement.crew]
        for _ in range(draw(st.sampled_from((0, 1, 1, 2)))):
            joined = draw(st.lists(st.sampled_from(others), max_size=2, unique=True))
            away = draw(st.lists(st.sampled_from(own), max_size=1)) if not joined else []
            saved = draw(st.integers(0, 25_000)) if joined else -draw(st.integers(0, 2_000))
            cost = {**placement.cost, "travel": placement.cost["travel"] - saved}
            cells = placement.cells
            if joined and not placement.parts and len(cells) > 1 and draw(st.booleans()):
                cells = cells[:-1]
            variant = replace(
                placement, cells=cells, cost=cost, joined=tuple(joined), lent_away=tuple(away)
            )
            if (joined or away) and variant not in more:
                more.append(variant)
    alone = [p for p in choices.placements if draw(st.sampled_from((True, False)))]
    placements = (*alone, *more)

    def kept(stage):
        # whoever could do it without somebody could do it with everybody, as placing has it
        own = [
            p
            for p in placements
            if p.stage == stage.stage
            and (not p.lent_away or any(q.key[:3] == p.key[:3] for q in alone if not q.with_visit))
        ]
        if stage.keep is None or not own:
            return replace(stage, keep=None, published=False)
        at = draw(st.sampled_from(own))
        again = at.part_starts[1] if at.parts and stage.keep.again is not None else None
        keep = Keep(at.crew, at.start, stage.keep.pinned, again, at.joined, at.lent_away)
        return replace(stage, keep=keep)

    return replace(
        choices,
        placements=placements,
        stages=tuple(kept(stage) for stage in choices.stages),
        lending=Lending(draw(st.sampled_from((0, 500, 2_000))), crew_of),
    )
