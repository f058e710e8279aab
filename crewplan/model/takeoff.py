"""What a job's roof needs: counts, lengths and the drivers of its hours."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

RailPlace = Literal["lower", "upper"]


@dataclass(frozen=True, slots=True)
class Rail:
    """One rail: half of a run of modules, between the row's ends or its thermal breaks."""

    plane: str
    row: int
    """1 next to the eave."""
    run: int
    """1 at the row's left; more where thermal breaks part the row."""
    place: RailPlace
    left_mm: float
    """From the array's left edge to the rail's left end."""
    length_mm: float
    attachments: int
    seats_mm: tuple[float, ...] = ()
    """Attachments from the rail's left end, each on a rafter; empty: rafters unknown."""
    pieces_mm: tuple[float, ...] = ()
    """What it is spliced from, left to right."""

    @property
    def splices_mm(self) -> tuple[float, ...]:
        """Splices from the rail's left end."""
        ends, at = [], 0.0
        for piece in self.pieces_mm[:-1]:
            at += piece
            ends.append(at)
        return tuple(ends)


@dataclass(frozen=True, slots=True)
class Shims:
    """What eight of ten roofs that are as far out of flat take no more than."""

    places_p80: int
    """Attachments with at least one shim."""
    pieces_p80: int
    height_p80_mm: float
    """Of the stack under one attachment."""
    piece_mm: float
    """Thickness of a shim."""


@dataclass(frozen=True, slots=True)
class UpliftCheck:
    """Lags against the wind's pull; the structural letter decides, whatever the word is."""

    word: Literal["not checked", "flagged", "not flagged"]
    missing: tuple[str, ...] = ()
    """Columns without which nothing is checked."""
    lags: int = 1
    """In one attachment; 0: clamps, which hold without."""
    uplift_n: float | None = None
    """On the worst attachment."""
    holds_n: float | None = None
    """Reference withdrawal of its lags."""


@dataclass(frozen=True, slots=True)
class PlaneTakeOff:
    """Counts of one roof plane."""

    plane: str
    modules: int
    row_lengths_mm: tuple[float, ...]
    attachment_spacing_mm: float
    attachments_per_rail: tuple[int, ...]
    """By row, of its lower rail; two rails a row."""
    attachments: int
    rail_mm: float
    """All rails together."""
    seats_mm: tuple[tuple[float, ...], ...] = ()
    """By row: attachments of its lower rail from its left end, each on a rafter; empty: unknown."""
    shift_mm: float = 0.0
    """How far the array was moved to the right of `array_left_mm`, within the tolerance."""
    notes: tuple[str, ...] = ()
    """What could not be done, such as a set-back that could not be checked."""
    problems: tuple[str, ...] = ()
    """Rules broken: plane, rule and shortfall in mm."""
    rails: tuple[Rail, ...] = ()
    """From the eave up, each row's lower rails first, left to right."""
    shims: Shims | None = None
    """None: the plane is flat, or nothing is known of it."""
    uplift: UpliftCheck | None = None


@dataclass(frozen=True, slots=True)
class RailPart:
    """One piece of a rail, cut from a stock length."""

    plane: str
    row: int
    run: int
    place: RailPlace
    part: int
    """1 at the rail's left end."""
    parts: int
    """Pieces of that rail."""
    length_mm: float


@dataclass(frozen=True, slots=True)
class StockCut:
    """What one stock length is cut into, in this order."""

    racking: str
    stock_mm: float
    parts: tuple[RailPart, ...]

    @property
    def left_mm(self) -> float:
        """What is left over."""
        return self.stock_mm - sum(part.length_mm for part in self.parts)


@dataclass(frozen=True, slots=True)
class JobTakeOff:
    """Counts of a whole job.

    `items` has the take-off's own words (`TAKEOFF_ITEMS` of crewplan.takeoff) with pieces.
    `drivers` has what steps' hours grow with, by the words of `rates.driver`, for the whole job;
    `days` is not among them: labour works it out from the other hours.
    """

    job: str
    planes: tuple[PlaneTakeOff, ...]
    items: Mapping[str, int]
    drivers: Mapping[str, float]
    power_w: float
    cuts: tuple[StockCut, ...] = ()
    """One for each stock length of rail."""
    least_stock: int = 0
    """No way of cutting these rails takes fewer stock lengths."""
