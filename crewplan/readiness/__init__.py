"""What each stage waits for, how likely it is there by a day, and what the store has."""

from crewplan.readiness.needs import needs
from crewplan.readiness.readiness import readiness
from crewplan.readiness.store import kit, share_before, supply

__all__ = ["kit", "needs", "readiness", "share_before", "supply"]
