"""By which day can a new job be promised? Weeks of work as hours in a queue, drawn many times.

Backlog and crews are hours of a day, not placements: a day's crews serve what is ready, class by
class, as much as can be served at once; the new job takes what is left. With the same draws a
longer backlog never gives an earlier date, and a crew more never a later one (`queue.py` says why).
"""

from crewplan.scheduling.promising.promise import promise
from crewplan.scheduling.promising.skills import skill_outlook

__all__ = ["promise", "skill_outlook"]
