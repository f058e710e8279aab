"""What goes onto the truck, with boxes to tick."""

from collections.abc import Iterator

from crewplan.publishing.crew_sheet.blocks import Block, Grid, Lines, Section, Words
from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.load_list import LoadLine, load_list, tools
from crewplan.publishing.missed_text import missed_words
from crewplan.publishing.spares import OTHER, RULE_WORDS, SPARES
from crewplan.publishing.tape import tape_words

LOAD_COLUMNS = ("stage", "item", "counted", "spare")


def load_cells(facts: SheetFacts) -> list[tuple[object, ...]]:
    """Material as rows, in the order of `LOAD_COLUMNS`."""
    stage = facts.stage.stage
    return [(stage, line.item, line.counted, line.spare) for line in load_lines(facts)]


def load_lines(facts: SheetFacts) -> tuple[LoadLine, ...]:
    """Material of this stage."""
    return load_list(facts.branch, facts.stage, facts.takeoff)


def tool_lines(facts: SheetFacts) -> tuple[str, ...]:
    """Tools of this stage."""
    coverings = dict.fromkeys(plane.covering for plane in facts.planes)
    return tools(facts.stage, facts.job, coverings)


def _in_store(facts: SheetFacts, line: LoadLine) -> str:
    """What the store calls it: kinds of module by name, else the items that serve the word."""
    if line.item == "module":
        return ", ".join(row.module for row in facts.modules)
    return ", ".join(row.item for row in facts.branch.items if row.takeoff_item == line.item)


def shim_words(facts: SheetFacts) -> Iterator[str]:
    """By plane that is out of flat: what eight of ten such roofs take no more than."""
    planes = {plane.plane: plane for plane in facts.planes}
    for counted in facts.takeoff.planes:
        if counted.shims is not None and counted.plane in planes:
            one, units = counted.shims, facts.units
            yield (
                f"Shims, plane {counted.plane}: eight of ten roofs that are"
                f" {tape_words(planes[counted.plane].unevenness_mm, units)} out of flat take no"
                f" more than {one.pieces_p80} of {tape_words(one.piece_mm, units)}, under"
                f" {one.places_p80} of {counted.attachments} attachments; under one of them, eight"
                f" times in ten, no more than {tape_words(one.height_p80_mm, units)} (assumed:"
                " every dip up to that is alike likely)."
            )


def load_out(facts: SheetFacts) -> Section:
    """Material and tools; whoever loads ticks and signs, and the sheet is kept."""
    lines = load_lines(facts)
    blocks: list[Block] = []
    if lines:
        rows = tuple(
            (
                line.item, str(line.counted), str(line.spare), str(line.counted + line.spare),
                _in_store(facts, line), SPARES.get(line.item, OTHER).words,
            )
            for line in lines
        )  # fmt: skip
        columns = ("Item", "Counted", "Spare", "Load", "In the store", "Rule for spares")
        widths = (0.2, 0.11, 0.1, 0.1, 0.27, 0.22)
        blocks += [Grid(columns, rows, widths, ticks=True, figures=(1, 2, 3)), Words(RULE_WORDS)]
        blocks += [Words(words) for words in shim_words(facts)]
        if facts.hours.begun:
            blocks.append(Words("Work has begun: this is the whole kit, part of it is on site."))
    elif facts.stage.kind == "roof":
        blocks.append(Words("No take-off for this job: count on site before you load."))
    blocks.append(Lines(tool_lines(facts), ticks=True))
    if missed := missed_words(facts.missed, facts.missed_weeks):
        blocks.append(Words(missed))
    blocks.append(Words("Loaded and checked by ____________________ at ________. Keep this sheet."))
    return Section("Load-out", tuple(blocks))
