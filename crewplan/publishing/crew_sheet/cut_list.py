"""Which stock length of rail is cut into which pieces."""

from collections.abc import Iterator, Sequence

from crewplan.model.takeoff import RailPart, StockCut
from crewplan.publishing.crew_sheet.blocks import Block, Grid, Section, Words
from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.tape import TAPE_UNIT, tape, tape_words

_PLACES = {"lower": "L", "upper": "U"}
_NO_BREAK = "\u00a0"
READ_AS = (
    "1L is the lower rail of row 1 (counted from the eave), 1U the upper one; 2/3 is the second of"
    " three pieces from the left; a point and a number follow where thermal breaks part a row."
)


def part_name(part: RailPart, runs: int, planes: int) -> str:
    """'1L 2/2': a piece's rail and place; with its plane where there are several."""
    run = f".{part.run}" if runs > 1 else ""
    plane = f"{part.plane} " if planes > 1 else ""
    place = f" {part.part}/{part.parts}" if part.parts > 1 else ""
    return f"{plane}{part.row}{_PLACES[part.place]}{run}{place}".replace(" ", _NO_BREAK)


def _alike(cuts: Sequence[StockCut]) -> dict[tuple[object, ...], list[StockCut]]:
    """Stock lengths that are cut alike, most cuts first."""
    found: dict[tuple[object, ...], list[StockCut]] = {}
    for cut in sorted(cuts, key=lambda cut: -len(cut.parts)):
        lengths = tuple(sorted((round(part.length_mm, 1) for part in cut.parts), reverse=True))
        found.setdefault((cut.racking, cut.stock_mm, lengths), []).append(cut)
    return found


def _rows(facts: SheetFacts) -> Iterator[tuple[str, ...]]:
    planes = facts.takeoff.planes
    runs = {
        (rail.plane, rail.row): max(r.run for r in plane.rails if r.row == rail.row)
        for plane in planes
        for rail in plane.rails
    }
    for same in _alike(facts.takeoff.cuts).values():
        first = same[0]
        ordered = [sorted(cut.parts, key=lambda part: -part.length_mm) for cut in same]
        pieces = " + ".join(tape(part.length_mm, facts.units) for part in ordered[0])
        marks = "; ".join(
            " + ".join(part_name(p, runs[p.plane, p.row], len(planes)) for p in parts)
            for parts in ordered
        )
        yield (
            f"{len(same)} × {tape(first.stock_mm, facts.units)}", pieces,
            tape(max(0.0, first.left_mm), facts.units), marks,
        )  # fmt: skip


def cut_words(facts: SheetFacts) -> str:
    """How many stock lengths, what stays over, and whether fewer would do."""
    cuts = facts.takeoff.cuts
    over = sum(max(0.0, cut.left_mm) for cut in cuts)
    share = over / sum(cut.stock_mm for cut in cuts)
    least = facts.takeoff.least_stock
    proof = (
        "no cutting takes fewer"
        if least == len(cuts)
        else f"no cutting takes fewer than {least}; whether one takes fewer than this is not known"
    )
    return (
        f"{len(cuts)} stock lengths for the whole job ({proof}), off-cuts used across rows and"
        f" planes; {tape_words(over, facts.units)} ({share:.0%}) stays over. The saw's width is not"
        " counted: cut long pieces first, and measure each."
    )


def cut_list(facts: SheetFacts) -> Section | None:
    """For roof work; None where no rails are counted."""
    if facts.stage.kind != "roof" or not (facts.takeoff.planes and facts.takeoff.cuts):
        return None
    unit = TAPE_UNIT[facts.units]
    columns = (f"Stock, {unit}", f"Cut into, {unit}", f"Left over, {unit}", "For")
    blocks: list[Block] = [
        Grid(columns, tuple(_rows(facts)), (0.15, 0.25, 0.12, 0.48), ticks=True),
        Words(cut_words(facts)),
        Words(READ_AS),
    ]
    if any(not rail.seats_mm for plane in facts.takeoff.planes for rail in plane.rails):
        blocks.append(
            Words(
                "Where rafters were not measured the pieces are a proposal: no splice in the middle"
                " third of a span, each between two attachments; cut once the rafters are marked.",
                strong=True,
            )
        )
    return Section("Cutting the rails", tuple(blocks))
