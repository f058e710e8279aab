"""What a sheet is made of, whatever it is printed as."""

from dataclasses import dataclass

from crewplan.model.verdict import Verdict


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Pairs:
    """Names with what is to be known of each."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Lines:
    """One thing a line; `ticks`: with a box before each; `numbered`: in this order."""

    items: tuple[str, ...]
    ticks: bool = False
    numbered: bool = False


@dataclass(frozen=True, slots=True)
class Grid:
    """A table; empty cells are to be written in."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]
    """Shares of the page's width, by column."""
    ticks: bool = False
    """With a box before each row."""
    figures: tuple[int, ...] = ()
    """Columns of numbers, which stand to the right."""
    tall: bool = False
    """With room to write by hand."""


@dataclass(frozen=True, slots=True)
class VerdictCard:
    """The gate's answer for one day and exposure."""

    word: Verdict
    told: str
    """The word as it is printed."""
    title: str
    windows: tuple[str, ...]
    """When, and until when it stands."""
    lines: tuple[str, ...]
    """The rest, a sentence each."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing that keeps its size on paper."""

    svg: str
    width_mm: float
    height_mm: float
    caption: str


Block = Words | Pairs | Lines | Grid | VerdictCard | Picture


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and what stands under it; empty blocks are left out by whoever makes it."""

    title: str
    blocks: tuple[Block, ...]
    own_page: bool = False
    """Begins a page of its own."""
