"""What stands on every sheet about not getting hurt; local rules come first."""

from collections.abc import Mapping
from dataclasses import dataclass

from crewplan.model.job_rows import StageKind

ADVICE_ONLY = (
    "Advice only: local codes, makers' manuals, licensed trades and the competent person on site"
    " come first. A go is advice; a no-go stops."
)


@dataclass(frozen=True, slots=True)
class SiteCaution:
    """One caution and where it is from."""

    text: str
    source: str


_ON_A_ROOF = (
    SiteCaution(
        "Never alone on a roof: whoever falls into a harness must be brought down promptly.",
        "29 CFR 1926.502(d)(20)",
    ),
    SiteCaution(
        "Guard rail, net or arrest wherever somebody can fall 6 ft (1.8 m) or more.",
        "29 CFR 1926.501(b)(1), (b)(13)",
    ),
    SiteCaution(
        "Anchors hold 5,000 lb (22 kN) a person, or a qualified person designs them with"
        " twice the load.",
        "29 CFR 1926.502(d)(15)",
    ),
    SiteCaution(
        "Ladders stand one quarter of their height out and reach 3 ft (0.9 m) over the landing.",
        "29 CFR 1926.1053(b)",
    ),
    SiteCaution(
        "Nobody climbs a ladder carrying a module: hoist, crane or conveyor.",
        "OSHA, Green Job Hazards: Solar",
    ),
    SiteCaution(
        "Two people to a module: one alone stays under 51 lb (23 kg), and less in a poor stance.",
        "NIOSH lifting equation's load constant",
    ),
    SiteCaution(
        "Keep to the maker's load limit of the hoist.", "29 CFR 1926.552(a)"
    ),
    SiteCaution(
        "Thunder: everybody down, and nobody up again until 30 minutes after the last.",
        "public weather service",
    ),
)  # fmt: skip

_ANYWHERE = (
    SiteCaution("Keep 10 ft (3 m) from overhead lines, ladders and rails too.", "OSHA"),
    SiteCaution(
        "Isolate, lock out and test dead before touching conductors; bonding, conductor work and"
        " commissioning only by whom the local rules license.",
        "local electrical rules",
    ),
    SiteCaution(
        "Heat: water, shade and breaks; nobody new works a full hot day at once.",
        "common practice, no source",
    ),
)  # fmt: skip

_CAUTIONS: Mapping[StageKind, tuple[SiteCaution, ...]] = {
    "roof": (*_ON_A_ROOF, *_ANYWHERE),
    "return": (*_ON_A_ROOF, *_ANYWHERE),
    "electrical": _ANYWHERE,
    "inspection": _ANYWHERE,
    "commissioning": _ANYWHERE,
}


def site_cautions(kind: StageKind) -> tuple[SiteCaution, ...]:
    """Cautions for a kind of stage, the deadliest first."""
    return _CAUTIONS[kind]
