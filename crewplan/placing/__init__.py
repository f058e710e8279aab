"""Every possible placement: which crew, from when, how likely done in time, and at what price."""

from crewplan.placing.all_choices import all_choices

__all__ = ["all_choices"]
