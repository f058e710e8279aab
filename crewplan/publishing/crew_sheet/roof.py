"""The drawing of each plane, and its marks in figures."""

from collections import Counter
from collections.abc import Iterator, Sequence

from crewplan.model.marks import PlaneMarks, RowMarks
from crewplan.publishing.crew_sheet.blocks import Block, Grid, Lines, Picture, Section, Words
from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.roof_drawing import TooLarge, roof_drawing
from crewplan.publishing.screen_units import UnitSystem
from crewplan.publishing.tape import TAPE_UNIT, lengths_in, tape, tape_words
from crewplan.publishing.uplift_words import uplift_words

_UNIT_WORDS: dict[UnitSystem, str] = {"us": "inches", "metric": "mm"}
_NO_BREAK = "\u00a0"


def _lines_told(marks: PlaneMarks, units: UnitSystem) -> Iterator[str]:
    if marks.line_a_up_mm is not None:
        up = tape_words(marks.line_a_up_mm, units)
        yield f"Line A: along the eave ('east–west'), {up} up the slope from the eave."
    if marks.line_b_along_mm is not None:
        along = tape_words(marks.line_b_along_mm, units)
        shift = ""
        if marks.shift_mm:
            side = "right" if marks.shift_mm > 0 else "left"
            shift = (
                f"; the array is {tape_words(abs(marks.shift_mm), units)} to the {side} of where"
                " it was drawn, to save penetrations"
            )
        yield (
            f"Line B: square to A, up the slope ('north–south'), {along} from the plane's left"
            f" edge{shift}."
        )
    if marks.rafters_mm:
        yield (
            f"Rafters: every {tape_words(marks.rafter_spacing_mm, units)} by the survey, numbered"
            " from the left edge; find each one, and go by what you find."
        )


def square_words(marks: PlaneMarks, units: UnitSystem) -> str:
    """What to measure so that the lines are square."""
    square = marks.square
    return (
        f"Square: on a rectangle of {tape_words(square.along_mm, units)} along A and"
        f" {tape_words(square.up_mm, units)} up B both diagonals measure"
        f" {tape_words(square.diagonal_mm, units)}; they may differ by"
        f" {tape_words(square.tolerance_mm, units)} at most (common practice, no source), which is"
        f" {tape_words(square.drift_mm, units)} at the top."
    )


def _by_rafter(marks: PlaneMarks, seats_mm: Sequence[float], units: UnitSystem) -> str:
    """'r4 8 9/16; r6 40 9/16': a rail's attachments by rafter, from line B."""
    if not seats_mm:
        return "places not known: on rafters as found"
    first, pitch = marks.rafters_mm[0], marks.rafter_spacing_mm
    return "; ".join(
        f"r{round((along - first) / pitch) + 1}: {tape(along, units)}".replace(" ", _NO_BREAK)
        for along in seats_mm
    )


def _row_cells(marks: PlaneMarks, row: RowMarks, units: UnitSystem) -> Iterator[tuple[str, ...]]:
    """One line for both rails of a row; one each (L lower, U upper) where they are staggered."""
    ends = str(row.modules), tape(row.left_mm, units), tape(row.length_mm, units)
    if row.seats_mm == row.upper_seats_mm:
        ups = " and ".join(tape(up, units) for up in row.rails_up_mm)
        yield str(row.row), *ends, ups, str(row.attachments), _by_rafter(marks, row.seats_mm, units)
        return
    for letter, (up, seats, _) in zip("LU", row.rails, strict=True):
        places = _by_rafter(marks, seats, units)
        yield f"{row.row}{letter}", *ends, tape(up, units), str(len(seats)), places


def marks_grid(marks: PlaneMarks, units: UnitSystem) -> Grid:
    """Rails up from line A, and attachments along from line B, by row."""
    rows = tuple(cells for row in marks.rows for cells in _row_cells(marks, row, units))
    unit = TAPE_UNIT[units]
    columns = (
        "Row", "Modules", f"Begins, {unit}", f"Rail, {unit}", f"Rails above A, {unit}",
        "Attachments", f"On each rail, from B, {unit}",
    )  # fmt: skip
    return Grid(columns, rows, (0.06, 0.1, 0.09, 0.1, 0.14, 0.13, 0.38), figures=(0, 1, 2, 3, 5))


def load_words(marks: PlaneMarks) -> Iterator[str]:
    """How the attachments are spread over the rafters; nothing where their places are unknown."""
    on: Counter[int] = Counter()
    for row in marks.rows:
        for _, seats, _ in row.rails:
            on.update(
                round((at - marks.rafters_mm[0]) / marks.rafter_spacing_mm) + 1 for at in seats
            )
    if on:
        most = max(on.values())
        worst = ", ".join(f"r{number}" for number, count in sorted(on.items()) if count == most)
        yield f"Load: {len(on)} rafters carry the attachments, at most {most} each ({worst})."


def _plane(facts: SheetFacts, marks: PlaneMarks) -> Section:
    units = facts.units
    blocks: list[Block] = []
    try:
        drawing = roof_drawing(marks, units)
    except TooLarge as error:
        blocks.append(Words(f"No drawing: {error}."))
    else:
        caption = (
            f"Plane {marks.plane}, to scale 1:{drawing.scale} where the print is not shrunk; seen"
            f" from outside, square to the roof. All figures in"
            f" {_UNIT_WORDS[units]}, each from line A or B."
        )
        blocks.append(Picture(drawing.svg, drawing.width_mm, drawing.height_mm, caption))
    told = (*_lines_told(marks, units), square_words(marks, units), *load_words(marks))
    blocks += [Lines(told), marks_grid(marks, units)]
    counted = next(row for row in facts.takeoff.planes if row.plane == marks.plane)
    notes = tuple(
        f"{note[:1].upper()}{lengths_in(note[1:], units)}."
        for note in (*marks.notes, *counted.problems, *counted.notes, uplift_words(counted, units))
        if note
    )
    if notes:
        blocks.append(Lines(notes))
    return Section(f"The roof: plane {marks.plane}", tuple(blocks), own_page=True)


def roof_pages(facts: SheetFacts) -> tuple[Section, ...]:
    """One page a plane, where the work is on the roof."""
    if not facts.on_roof:
        return ()
    if not facts.marks:
        return (Section("The roof", (Words("No planes are known for this job: no drawing."),)),)
    return tuple(_plane(facts, marks) for marks in facts.marks)
