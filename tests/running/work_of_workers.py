"""Work for the workers of a cluster, which import it by this name."""

import os
import signal
import time
from pathlib import Path

from crewplan.running.branch_task import plan_branch


def plan_at_second_try(note, branch, clock, asked):
    """A plan; the first time, the worker's number is written down and it hangs in the work."""
    note = Path(note)
    if not note.exists():
        fresh = note.with_suffix(".fresh")
        fresh.write_text(str(os.getpid()), encoding="utf-8")
        fresh.rename(note)
        time.sleep(600)
    return plan_branch(branch, clock, asked)


def answered(value):
    return value


def at_fault(sentence):
    raise ValueError(sentence)


def deadly():
    os.kill(os.getpid(), signal.SIGKILL)
