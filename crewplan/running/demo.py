"""Where the invented company's tables are."""

from importlib.resources import files
from pathlib import Path


def demo_folder() -> Path:
    """The demo_data folder that came with the program, read only."""
    return Path(str(files("demo_data")))
