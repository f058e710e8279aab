"""Lines, shapes and words of a drawing as SVG, all in mm on paper, all in black.

Kinds of line differ by width and dashes, never by colour, so that a black and white print or a
sheet in the sun loses nothing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal
from xml.sax.saxutils import escape

FONT = "Arial, Helvetica, Liberation Sans, Libertinus Serif, sans-serif"
"""The last named font comes with the PDF's writer, the ones before with most machines."""

_LETTER = 0.52
"""Mean width of a letter in its height: Arial's figures are 0.556, its small letters less."""

LineKind = Literal["edge", "rafter", "chalk", "rail", "module", "diagonal", "dimension"]


@dataclass(frozen=True, slots=True)
class Pen:
    """How a kind of line is drawn, mm on paper."""

    width: float
    dashes: str = ""


PENS: Mapping[LineKind, Pen] = {
    "edge": Pen(0.6),
    "rafter": Pen(0.2, "2.4 0.8 0.5 0.8"),
    "chalk": Pen(0.7, "5 1.6"),
    "rail": Pen(0.45),
    "module": Pen(0.18),
    "diagonal": Pen(0.25, "0.5 1.1"),
    "dimension": Pen(0.18),
}

Point = tuple[float, float]


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def line(kind: LineKind, start: Point, end: Point) -> str:
    """A straight line."""
    pen = PENS[kind]
    dashes = f' stroke-dasharray="{pen.dashes}"' if pen.dashes else ""
    ends = " ".join(
        f'{name}="{_number(value)}"'
        for name, value in zip(("x1", "y1", "x2", "y2"), (*start, *end), strict=True)
    )
    return f'<line class="{kind}" {ends} stroke="#000" stroke-width="{pen.width:g}"{dashes}/>'


def rectangle(kind: LineKind, corner: Point, size: Point) -> str:
    """A rectangle from its upper left corner, not filled."""
    x, y, width, height = map(_number, (*corner, *size))
    return (
        f'<rect class="{kind}" x="{x}" y="{y}" width="{width}" height="{height}" fill="none"'
        f' stroke="#000" stroke-width="{PENS[kind].width:g}"/>'
    )


def dot(centre: Point, radius: float) -> str:
    """A filled disc: an attachment."""
    x, y, r = map(_number, (*centre, radius))
    return f'<circle class="attachment" cx="{x}" cy="{y}" r="{r}" fill="#000"/>'


def words(
    text: str,
    at: Point,
    size: float,
    anchor: Literal["start", "middle", "end"] = "start",
    turned: bool = False,
    bold: bool = False,
) -> str:
    """A line of text on a white ground; turned: read from the right, upwards."""
    x, y = map(_number, at)
    turn = f' transform="rotate(-90 {x} {y})"' if turned else ""
    weight = ' font-weight="bold"' if bold else ""
    length = _LETTER * size * len(text)
    start = at[0] - {"start": 0.0, "middle": length / 2, "end": length}[anchor]
    ground = " ".join(
        f'{name}="{_number(value)}"'
        for name, value in (
            ("x", start),
            ("y", at[1] - 0.8 * size),
            ("width", length),
            ("height", size),
        )
    )
    placed = f'x="{x}" y="{y}" font-size="{size:g}" text-anchor="{anchor}"{weight}{turn}'
    return f'<rect class="ground" {ground} fill="#fff"{turn}/><text {placed}>{escape(text)}</text>'


def svg(size: Point, title: str, parts: Sequence[str]) -> str:
    """The whole drawing: a unit is a mm on paper."""
    width, height = map(_number, size)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}" font-family="{FONT}" role="img">'
        f"<title>{escape(title)}</title>" + "".join(parts) + "</svg>"
    )
