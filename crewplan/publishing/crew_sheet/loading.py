"""What goes onto the truck, with boxes to tick."""

from crewplan.publishing.crew_sheet.blocks import Block, Grid, Lines, Section, Words
from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.load_list import LoadLine, load_list, tools
from crewplan.publishing.spares import OTHER, RULE_WORDS, SPARES

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
        if facts.hours.begun:
            blocks.append(Words("Work has begun: this is the whole kit, part of it is on site."))
    elif facts.stage.kind == "roof":
        blocks.append(Words("No take-off for this job: count on site before you load."))
    blocks.append(Lines(tool_lines(facts), ticks=True))
    blocks.append(Words("Loaded and checked by ____________________ at ________. Keep this sheet."))
    return Section("Load-out", tuple(blocks))
