"""What each stage waits for, how likely it is there by a day, and what the store has."""

from crewplan.readiness.kits import Kits, kit, share_before
from crewplan.readiness.needs import needs
from crewplan.readiness.readiness import readiness
from crewplan.readiness.store import supply

__all__ = ["Kits", "kit", "needs", "readiness", "share_before", "supply"]
