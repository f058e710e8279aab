"""The independent checker: no plan is shown before it has passed.

It goes back to the branch's tables, with simple code of its own; it knows neither the rows of the
problem nor an engine. One sentence for each violation, beginning with the word for its kind.
"""

from crewplan.scheduling.checker.check import PlanRejected, check_plan, refuse_broken

__all__ = ["PlanRejected", "check_plan", "refuse_broken"]
