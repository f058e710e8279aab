"""The take-off's own words, and the pieces that go with each attachment, module or row."""

from collections.abc import Mapping
from typing import NamedTuple, get_args

from crewplan.model.job_rows import Covering
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
    PiecesPer("microinverter", "modules", 1, "common practice, no source"),
    PiecesPer("lead", "modules", 1, "common practice, no source; one link of trunk a module"),
    PiecesPer("wire clip", "modules", 2, "common practice, no source"),
)

_ON_RAFTERS = "common practice, no source"
ATTACHED_BY: Mapping[Covering, tuple[PiecesPer, ...]] = {
    "shingle": (
        PiecesPer("attachment", "attachments", 1, "by definition"),
        PiecesPer("flashing", "attachments", 1, _ON_RAFTERS),
        PiecesPer("lag", "attachments", 1, f"{_ON_RAFTERS}; one a foot, centred"),
    ),
    "tile": (
        PiecesPer("tile hook", "attachments", 1, "by definition"),
        PiecesPer("tile flashing", "attachments", 1, f"{_ON_RAFTERS}; in place of the tile"),
        PiecesPer("lag", "attachments", 2, f"{_ON_RAFTERS}; two a hook's plate"),
    ),
    "slate": (
        PiecesPer("slate hook", "attachments", 1, "by definition"),
        PiecesPer("flashing", "attachments", 1, _ON_RAFTERS),
        PiecesPer("lag", "attachments", 2, f"{_ON_RAFTERS}; two a hook's plate"),
    ),
    "metal": (PiecesPer("seam clamp", "attachments", 1, "by definition; no hole in the roof"),),
}
"""What an attachment is made of, by what the roof is covered with. Metal is taken as standing seam
(assumed): its clamps sit on seams, so that `rafter_spacing_mm` stands for the seams'."""

TAKEOFF_ITEMS: tuple[str, ...] = (
    "module",
    "attachment",
    "tile hook",
    "slate hook",
    "seam clamp",
    "flashing",
    "tile flashing",
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

_EVERYWHERE = frozenset(TAKEOFF_ITEMS) - {
    rule.item for rules in ATTACHED_BY.values() for rule in rules
}


def lags_per_attachment(covering: Covering) -> int:
    """Lags that hold one attachment; 0: it is clamped."""
    return sum(rule.pieces for rule in ATTACHED_BY[covering] if rule.item == "lag")


def words_used(coverings: frozenset[Covering]) -> tuple[str, ...]:
    """Words that roofs with these coverings can take; with none, as a shingle roof does."""
    kinds: frozenset[Covering] = coverings or frozenset({"shingle"})
    used = {rule.item for covering in kinds for rule in ATTACHED_BY[covering]}
    return tuple(word for word in TAKEOFF_ITEMS if word in used or word in _EVERYWHERE)
