"""Past weather replayed under rival policies: does planning really save hours and money?

Pure: seeds and weather in, a log of crews' hours out; the same seed gives the same answer.
"""

from crewplan.replay.forecaster import Errors, ensemble
from crewplan.replay.observed import Observed, observed_at
from crewplan.replay.policies import POLICIES, Policy, timed
from crewplan.replay.rolling import Replayed, replay
from crewplan.replay.score import score
from crewplan.replay.stream import Stream, emptied, jobs_of, own_jobs

__all__ = [
    "POLICIES",
    "Errors",
    "Observed",
    "Policy",
    "Replayed",
    "Stream",
    "emptied",
    "ensemble",
    "jobs_of",
    "observed_at",
    "own_jobs",
    "replay",
    "score",
    "timed",
]
