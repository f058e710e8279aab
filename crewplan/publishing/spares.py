"""How many pieces to take beyond those counted, so that a short clamp costs no trip back."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class SpareRule:
    """A share of what is counted, at least so many pieces."""

    share: float
    least: int

    def of(self, counted: int) -> int:
        """Spare pieces; none where none are counted."""
        if counted <= 0:
            return 0
        return max(self.least, math.ceil(self.share * counted - _ROUNDING))

    @property
    def words(self) -> str:
        """'5 %, at least 4'."""
        if self.least == 0:
            return "none"
        return (
            f"{round(self.share * 100)} %, at least {self.least}" if self.share else f"{self.least}"
        )


SPARES: Mapping[str, SpareRule] = {
    "module": SpareRule(0.0, 0),
    "attachment": SpareRule(0.05, 2),
    "tile hook": SpareRule(0.05, 2),
    "slate hook": SpareRule(0.05, 2),
    "seam clamp": SpareRule(0.05, 2),
    "flashing": SpareRule(0.05, 2),
    "tile flashing": SpareRule(0.05, 2),
    "lag": SpareRule(0.1, 4),
    "rail": SpareRule(0.0, 1),
    "splice": SpareRule(0.1, 1),
    "mid clamp": SpareRule(0.05, 4),
    "end clamp": SpareRule(0.1, 2),
    "microinverter": SpareRule(0.0, 1),
    "lead": SpareRule(0.05, 1),
    "wire clip": SpareRule(0.1, 10),
    "bonding lug": SpareRule(0.1, 1),
}
"""By the take-off's word; all figures assumed. What is small, cheap and easily dropped gets most;
a module gets none, since a broken one is a delivery of its own."""

OTHER = SpareRule(0.05, 1)
"""For a word that the table lacks. Assumed."""

RULE_WORDS = (
    "Spares: a share of what is counted, rounded up, with a least number (assumed). They come from"
    " what the truck carries: the plan's material counts no spares."
)


def spare(item: str, counted: int) -> int:
    """Spare pieces of an item of the take-off."""
    return SPARES.get(item, OTHER).of(counted)
