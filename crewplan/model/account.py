"""Who asks, and what each role may see and do."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

Role = Literal["manager", "lead", "owner", "office"]
ROLES: tuple[Role, ...] = get_args(Role)

Act = Literal[
    "see the week",
    "see tomorrow",
    "see what is awaited",
    "see the hours",
    "see money",
    "enter hours",
    "enter readings",
    "tick the load",
    "enter states",
    "pin",
    "publish",
    "import tables",
]
"""What the board can be asked for. Whatever shows a price, a cost or a margin is 'see money'."""

_ALL = frozenset(ROLES)
_DESK: frozenset[Role] = frozenset({"manager", "owner", "office"})

MAY: Mapping[Act, frozenset[Role]] = {
    "see the week": _DESK,
    "see tomorrow": _ALL,
    "see what is awaited": _DESK,
    "see the hours": frozenset({"manager", "owner"}),
    "see money": _DESK,
    "enter hours": frozenset({"manager", "lead", "office"}),
    "enter readings": frozenset({"manager", "lead"}),
    "tick the load": frozenset({"manager", "lead"}),
    "enter states": frozenset({"manager", "office"}),
    "pin": frozenset({"manager"}),
    "publish": frozenset({"manager"}),
    "import tables": frozenset({"manager", "office"}),
}
"""The roles that may do each; a lead only for their own crews."""


@dataclass(frozen=True, slots=True)
class Actor:
    """The person behind a question or an entry."""

    name: str
    """As the history names them."""
    role: Role
    crews: frozenset[str] | None = None
    """The crews that they get; None: all of them."""
    only: frozenset[Act] | None = None
    """All that a link opens; None: whatever the role may."""

    def may(self, act: Act, crew: str | None = None) -> bool:
        """Whether their role allows it, for this crew where one is named."""
        if self.role not in MAY[act] or (self.only is not None and act not in self.only):
            return False
        return crew is None or self.crews is None or crew in self.crews
