"""The take-off's own words, and the pieces that go with each attachment, module or row."""

from typing import NamedTuple, get_args

from crewplan.model.work_rows import Driver

DRIVERS: tuple[str, ...] = get_args(Driver)
"""Words that `rates.driver` may use."""


class PiecesPer(NamedTuple):
    """`pieces` of `item` for one unit of `driver`."""

    item: str
    driver: str
    pieces: int
    source: str


PIECES: tuple[PiecesPer, ...] = (
    PiecesPer("module", "modules", 1, "by definition"),
    PiecesPer("attachment", "attachments", 1, "by definition"),
    PiecesPer("flashing", "attachments", 1, "common practice, no source"),
    PiecesPer("lag", "attachments", 1, "common practice, no source; one a foot, centred"),
    PiecesPer("end clamp", "rows", 4, "rail catalogue (copy): two rails, both ends"),
    PiecesPer("microinverter", "modules", 1, "common practice, no source"),
    PiecesPer("lead", "modules", 1, "common practice, no source; one link of trunk a module"),
    PiecesPer("wire clip", "modules", 2, "common practice, no source"),
    PiecesPer("bonding lug", "rows", 1, "common practice, no source; clamps bond the rest"),
)

TAKEOFF_ITEMS: tuple[str, ...] = (
    "module",
    "attachment",
    "flashing",
    "lag",
    "rail",
    "splice",
    "mid clamp",
    "end clamp",
    "microinverter",
    "lead",
    "wire clip",
    "bonding lug",
)
"""All words that a take-off counts, in the order of work."""
