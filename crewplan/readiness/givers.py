"""Who gives what a stage waits for."""

from collections.abc import Mapping
from typing import Literal

from crewplan.readiness.needs import CUSTOMER_CONFIRMED, INSPECTION_PASSED, KIT

Giver = Literal["authority", "utility", "supplier", "customer", "unknown"]

GIVERS: Mapping[str, Giver] = {
    "permit": "authority",
    INSPECTION_PASSED: "authority",
    "utility_approval": "utility",
    "permission_to_operate": "utility",
    KIT: "supplier",
    CUSTOMER_CONFIRMED: "customer",
    "survey": "customer",
    "deposit": "customer",
    "association_consent": "customer",
}
"""Common practice, no source. Any other word: the tables do not say who gives it."""


def giver(kind: str) -> Giver:
    """Whom to ask for a kind of requirement."""
    return GIVERS.get(kind, "unknown")
