"""Work for the workers of a cluster, which import it by this name."""

import os
import signal
from pathlib import Path

from crewplan.running.branch_task import plan_branch


def noted_plan(notes, key, branch, clock, asked):
    """A plan; each time that it is begun a line is added to a file."""
    with Path(notes).open("a", encoding="utf-8") as file:
        file.write(f"{key}\n")
    return plan_branch(branch, clock, asked)


def answered(value):
    return value


def at_fault(sentence):
    raise ValueError(sentence)


def deadly():
    os.kill(os.getpid(), signal.SIGKILL)
