"""Who gives what a stage waits for, and what must be in hand before it can be asked for."""

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

COMES_AFTER: Mapping[str, str] = {
    "permit": "structural_letter",
    "permission_to_operate": INSPECTION_PASSED,
}
"""Asked for only once the other is in hand, where the job needs the other. Common practice."""


def giver(kind: str) -> Giver:
    """Whom to ask for a kind of requirement."""
    return GIVERS.get(kind, "unknown")
