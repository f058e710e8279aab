"""What a look's process runs in the tests; found by its name from there."""

import os
import time
from pathlib import Path

from board_views import one_job_view

from crewplan.running.looks import Made


def made(version: int) -> Made:
    return Made(version, one_job_view())


def rejected(version: int) -> Made:
    raise ValueError(f"version {version} cannot be planned.\nand more that nobody reads")


def died(_version: int) -> Made:
    os._exit(9)


def endless(file: str) -> Made:
    while True:
        Path(file).write_text(f"{os.getpid()} {os.nice(0)} {time.monotonic()}")
        time.sleep(0.02)
