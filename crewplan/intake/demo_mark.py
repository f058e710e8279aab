"""The mark by which the demo's own tables are known, so that no other folder sets its clock."""

import hashlib
from importlib import resources
from pathlib import Path

from crewplan.intake.faults import Report
from crewplan.intake.settings_file import FILE
from crewplan.intake.sources import workbooks_in
from crewplan.intake.toml_lines import line_of
from crewplan.model.settings import Settings
from crewplan.model.tables import BY_NAME

MARK = "demo.sha256"
"""The file beside the demo's tables that keeps their digest."""


def tables_digest(path: Path) -> str:
    """SHA-256, in hex, over name and content of a folder's tables.

    Left out: the settings, files that are no table, and `plan.csv` with the plans kept from
    before, since publishing writes those. Line ends count as one `\\n` each.
    """
    digest = hashlib.sha256()
    names = set(BY_NAME) - {"plan"}
    tables = [
        file
        for file in path.iterdir()
        if file.suffix.lower() == ".csv" and file.stem.lower() in names and file.is_file()
    ]
    for file in sorted(tables, key=lambda file: file.name):
        content = file.read_bytes().replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        digest.update(f"{file.name}\0{len(content)}\0".encode())
        digest.update(content)
    for book in workbooks_in(path):
        content = book.read_bytes()
        digest.update(f"{book.name}\0{len(content)}\0".encode())
        digest.update(content)
    return digest.hexdigest()


def demo_digest() -> str:
    """The digest that was kept when the demo was made; empty where there is no demo."""
    folder = Path(str(resources.files("crewplan"))).parent / "demo_data"
    try:
        return (folder / MARK).read_text(encoding="ascii").split()[0]
    except (OSError, IndexError, ValueError):
        return ""


def check_demo(folder: Path, settings: Settings, report: Report) -> None:
    """Fault a clock set by hand in a folder with other tables than the demo's own."""
    if settings.demo is None or tables_digest(folder) == demo_digest():
        return
    line = line_of((folder / FILE).read_text(encoding="utf-8-sig"), ("demo",))
    report.fault(
        FILE,
        line,
        "demo",
        "",
        "the demo's tables unchanged, or no [demo]",
        "a clock set by hand stands beside tables that are not the demo's own",
    )
