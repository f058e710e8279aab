"""A roof plane to scale on one page: chalk lines, rafters, rails, modules, attachments, diagonals.

Seen from outside, square to the roof, the eave below. Paper is in mm, y downwards.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from crewplan.model.marks import PlaneMarks
from crewplan.publishing.screen_units import UnitSystem
from crewplan.publishing.svg_marks import LineKind, Point, dot, line, rectangle, svg, words
from crewplan.publishing.tape import tape, tape_words

PAGE_MM = (184.0, 186.0)
"""Room that A4 and Letter both have for it, beside the sheet's margins, the plane's heading and the
drawing's caption (assumed, and tested on both)."""
SCALES = (
    20, 25, 30, 40, 50, 60, 75, 80, 90, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000,
)  # fmt: skip
"""One mm on paper is so many mm on the roof; the least that fits is taken."""
_LEFT, _RIGHT, _TOP, _BELOW = 20.0, 26.0, 20.0, 31.0
"""Paper kept free around the roof for dimensions, rafters' numbers and the key."""
_TEXT = 2.9
"""Height of the letters, mm: about 8 points."""
_LEAST_STEP = 3.3
"""Labels closer together than this would touch."""


class TooLarge(ValueError):
    """A plane that no scale brings onto a page."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """One plane's drawing, and the scale it holds when printed at 100 %."""

    plane: str
    svg: str
    scale: int
    width_mm: float
    """Of the paper that it takes."""
    height_mm: float


@dataclass(frozen=True, slots=True)
class _Sheet:
    """From the roof's mm (along from line B, up from line A) to the paper's."""

    marks: PlaneMarks
    units: UnitSystem
    scale: int
    left_mm: float
    """Of the roof's part that is drawn, along; the others alike."""
    right_mm: float
    low_mm: float
    high_mm: float

    @property
    def size(self) -> Point:
        """Of the paper."""
        width = (self.right_mm - self.left_mm) / self.scale + _LEFT + _RIGHT
        height = (self.high_mm - self.low_mm) / self.scale + _TOP + _BELOW
        return max(width, _KEY_WIDTH), height

    def at(self, along_mm: float, up_mm: float) -> Point:
        """A place of the roof on paper."""
        return (
            _LEFT + (along_mm - self.left_mm) / self.scale,
            _TOP + (self.high_mm - up_mm) / self.scale,
        )


_KEY_WIDTH = 150.0
"""Paper that the key's columns need."""
_KEY: tuple[tuple[LineKind, str], ...] = (
    ("chalk", "chalk line"),
    ("rail", "rail"),
    ("rafter", "rafter"),
    ("module", "module"),
    ("diagonal", "check for square"),
    ("edge", "edge of the plane"),
)
_BAR_MM: dict[UnitSystem, float] = {"us": 50.8, "metric": 50.0}
"""Bar that tells the scale: two inches, or five centimetres."""


def roof_drawing(marks: PlaneMarks, units: UnitSystem) -> Drawing:
    """One plane to the largest of `SCALES` that fits `PAGE_MM`.

    Raises:
        TooLarge: where none does.
    """
    left, right, low, high = _bounds(marks)
    room = PAGE_MM[0] - _LEFT - _RIGHT, PAGE_MM[1] - _TOP - _BELOW
    least = max((right - left) / room[0], (high - low) / room[1])
    scale = next((scale for scale in SCALES if scale >= least), None)
    if scale is None:
        raise TooLarge(f"plane {marks.plane} is too large to be drawn on a page")
    sheet = _Sheet(marks, units, scale, left, right, low, high)
    parts = [
        *_plane(sheet), *_rafters(sheet), *_modules(sheet), *_rails(sheet), *_square(sheet),
        *_chalk(sheet), *_seats(sheet), *_along(sheet), *_up(sheet), *_key(sheet),
    ]  # fmt: skip
    title = f"Plane {marks.plane}, 1:{scale}, seen from outside and square to it, eave below"
    return Drawing(marks.plane, svg(sheet.size, title, parts), scale, *sheet.size)


def _bounds(marks: PlaneMarks) -> tuple[float, float, float, float]:
    """Left, right, low and high of what is drawn: the plane where its size is known."""
    left, low = -(marks.line_b_along_mm or 0.0), -(marks.line_a_up_mm or 0.0)
    right, high = marks.array_along_mm, marks.array_up_mm
    if marks.width_mm is not None and marks.line_b_along_mm is not None:
        right = max(right, left + marks.width_mm)
    if marks.slope_mm is not None and marks.line_a_up_mm is not None:
        high = max(high, low + marks.slope_mm)
    return left, right, low, high


def _plane(sheet: _Sheet) -> Iterator[str]:
    """The plane's edges, as far as they are known."""
    marks, ends = sheet.marks, (sheet.left_mm, sheet.right_mm)
    if marks.line_a_up_mm is not None:
        yield line("edge", sheet.at(ends[0], sheet.low_mm), sheet.at(ends[1], sheet.low_mm))
        x, y = sheet.at(ends[1], sheet.low_mm)
        yield words("eave", (x + 1, max(y + 3, _line_a_word(sheet)[1] + _LEAST_STEP)), _TEXT)
        if marks.slope_mm is not None:
            yield line("edge", sheet.at(ends[0], sheet.high_mm), sheet.at(ends[1], sheet.high_mm))
            x, y = sheet.at(ends[1], sheet.high_mm)
            yield words("ridge", (x + 1, y + 1), _TEXT)
    if marks.line_b_along_mm is not None:
        edges = ends if marks.width_mm is not None else ends[:1]
        for along in edges:
            yield line("edge", sheet.at(along, sheet.low_mm), sheet.at(along, sheet.high_mm))


def _rafters(sheet: _Sheet) -> Iterator[str]:
    """Rafter lines, numbered from the plane's first, with their distance from line B."""
    last = -math.inf
    for number, along in enumerate(sheet.marks.rafters_mm, 1):
        if along > sheet.right_mm:
            continue
        bottom, top = sheet.at(along, sheet.low_mm), sheet.at(along, sheet.high_mm)
        yield line("rafter", bottom, (top[0], top[1] - 1.5))
        if top[0] - last >= _LEAST_STEP:
            last = top[0]
            label = f"r{number}: {tape(along, sheet.units)}"
            yield words(label, (top[0] + 0.9, top[1] - 2), _TEXT * 0.86, turned=True)


def _modules(sheet: _Sheet) -> Iterator[str]:
    for row in sheet.marks.rows:
        size = row.module_along_mm / sheet.scale, row.module_up_mm / sheet.scale
        for along in row.modules_along_mm:
            yield rectangle("module", sheet.at(along, row.up_mm + row.module_up_mm), size)


def _rails(sheet: _Sheet) -> Iterator[str]:
    for row in sheet.marks.rows:
        for up, _, splices in row.rails:
            for run in row.runs:
                ends = run.left_mm, run.left_mm + run.length_mm
                yield line("rail", sheet.at(ends[0], up), sheet.at(ends[1], up))
            for along in splices:
                yield from _splice(sheet.at(along, up))


def _splice(at: Point) -> Iterator[str]:
    """Two strokes across a rail."""
    x, y = at
    for side in (x - 0.4, x + 0.4):
        yield line("rail", (side, y - 1.1), (side, y + 1.1))


def _square(sheet: _Sheet) -> Iterator[str]:
    square = sheet.marks.square
    corner = sheet.at(square.along_mm, square.up_mm)
    yield line("diagonal", sheet.at(0, 0), corner)
    yield line("diagonal", sheet.at(square.along_mm, 0), sheet.at(0, square.up_mm))
    x, y = sheet.at(square.along_mm / 2, _between_rails(sheet.marks, square.up_mm / 2))
    text = f"both diagonals {tape_words(square.diagonal_mm, sheet.units)}"
    yield words(text, (x, y + 0.3 * _TEXT), _TEXT, "middle", bold=True)


def _between_rails(marks: PlaneMarks, up_mm: float) -> float:
    """The middle between two rails that lies nearest, so that words there hide no attachment."""
    ups = [up for row in marks.rows for up in row.rails_up_mm]
    return min(((a + b) / 2 for a, b in pairwise(ups)), key=lambda middle: abs(middle - up_mm))


def _chalk(sheet: _Sheet) -> Iterator[str]:
    yield line("chalk", sheet.at(sheet.left_mm, 0), sheet.at(sheet.right_mm, 0))
    yield line("chalk", sheet.at(0, sheet.low_mm), sheet.at(0, sheet.high_mm))
    yield words("line A", _line_a_word(sheet), _TEXT, bold=True)
    x, y = sheet.at(0, sheet.low_mm)
    yield words("line B", (x, y + 4), _TEXT, "middle", bold=True)


def _line_a_word(sheet: _Sheet) -> Point:
    """Beside line A, under the lowest rail's word, which would cover it."""
    x, y = sheet.at(sheet.right_mm, 0)
    lowest = min(up for row in sheet.marks.rows for up in row.rails_up_mm)
    return x + 1, max(y + 1, _rail_word(sheet, lowest)[1] + _LEAST_STEP)


def _rail_word(sheet: _Sheet, up_mm: float) -> Point:
    x, y = sheet.at(sheet.right_mm, up_mm)
    return x + 1, y + 1


def _seats(sheet: _Sheet) -> Iterator[str]:
    for row in sheet.marks.rows:
        for up, seats, _ in row.rails:
            for along in seats:
                yield dot(sheet.at(along, up), 0.95)


def _tick(at: Point) -> str:
    """The end of a dimension: a short stroke across it."""
    x, y = at
    return line("dimension", (x - 0.8, y + 0.8), (x + 0.8, y - 0.8))


def _along(sheet: _Sheet) -> Iterator[str]:
    """Below the eave: plane's edge to line B, and the array's length."""
    marks = sheet.marks
    y = sheet.at(0, sheet.low_mm)[1] + 8.5
    spans = [(0.0, marks.array_along_mm)]
    if marks.line_b_along_mm:
        spans.insert(0, (-marks.line_b_along_mm, 0.0))
    for start, end in spans:
        a, b = (sheet.at(start, 0)[0], y), (sheet.at(end, 0)[0], y)
        yield line("dimension", a, b)
        yield from (_tick(a), _tick(b))
        yield words(tape(end - start, sheet.units), ((a[0] + b[0]) / 2, y - 0.9), _TEXT, "middle")


def _up(sheet: _Sheet) -> Iterator[str]:
    """Left: eave to line A. Right: each rail above line A, where there is room for the words."""
    marks = sheet.marks
    if marks.line_a_up_mm:
        x = sheet.at(sheet.left_mm, 0)[0] - 3.5
        a, b = (x, sheet.at(0, sheet.low_mm)[1]), (x, sheet.at(0, 0)[1])
        yield line("dimension", a, b)
        yield from (_tick(a), _tick(b))
        yield words(
            tape(marks.line_a_up_mm, sheet.units), (x - 1.2, (a[1] + b[1]) / 2 + 1), _TEXT, "end"
        )
    last = math.inf
    for row in marks.rows:
        for up in row.rails_up_mm:
            at = _rail_word(sheet, up)
            if last - at[1] >= _LEAST_STEP:
                last = at[1]
                yield words(f"A + {tape(up, sheet.units)}", at, _TEXT)


def _key(sheet: _Sheet) -> Iterator[str]:
    """What each kind of line means, and a bar that tells whether the print is to scale."""
    y = sheet.size[1] - 15.0
    for place, (kind, text) in enumerate(_KEY):
        x, row = 2.0 + 38.0 * (place % 3), y + 4.6 * (place // 3)
        yield line(kind, (x, row), (x + 9, row))
        yield words(text, (x + 10.5, row + 1), _TEXT)
    yield dot((118.0, y), 0.95)
    yield words("attachment", (120.5, y + 1), _TEXT)
    yield from _splice((118.0, y + 4.6))
    yield words("splice", (120.5, y + 5.6), _TEXT)
    bar = _BAR_MM[sheet.units]
    start, end = (2.0, y + 11.0), (2.0 + bar, y + 11.0)
    yield line("rail", start, end)
    yield from (line("rail", (x, y + 10), (x, y + 12)) for x in (start[0], end[0]))
    on_roof = tape_words(bar * sheet.scale, sheet.units)
    yield words(
        f"{tape_words(bar, sheet.units)} on paper = {on_roof} on the roof (1:{sheet.scale})",
        (end[0] + 2, y + 12), _TEXT,
    )  # fmt: skip
