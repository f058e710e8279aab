"""The mark by which the demo's own tables are known, so that no other folder sets its clock."""

import hashlib
from collections.abc import Mapping
from functools import lru_cache
from importlib import resources
from pathlib import Path

from crewplan.intake import grammar
from crewplan.intake.faults import Report
from crewplan.intake.raw_table import UnreadableTable
from crewplan.intake.settings_file import FILE
from crewplan.intake.sources import Source, find_sources, locate
from crewplan.intake.toml_lines import line_of
from crewplan.model.settings import Settings

MARK = "demo.sha256"
"""The file beside the demo's tables that keeps their digest."""


@lru_cache(maxsize=65536)
def _plain(text: str) -> str:
    """A cell's text, numbers as they would also come out of a workbook."""
    try:
        return repr(grammar.number(text) + 0.0)  # no minus zero
    except grammar.Unreadable:
        return text


def _digest(sources: Mapping[str, Source]) -> str:
    digest = hashlib.sha256()
    for name in sorted(sources.keys() - {"plan"}):
        digest.update(f"{name}\0".encode())
        try:
            header, rows = sources[name].iterate()
            digest.update(("\0".join(header).lower() + "\1").encode())
            for _, cells in rows:
                digest.update(("\0".join(map(_plain, cells)) + "\1").encode())
        except UnreadableTable as bad:  # told elsewhere
            digest.update(bad.problem.encode())
    return digest.hexdigest()


def tables_digest(path: Path) -> str:
    """SHA-256, in hex, over the cells of a folder's tables, in CSV or workbook alike.

    Left out: the settings, files that are no table, and `plan` with the plans kept from before,
    since publishing writes those. Line ends and quotation marks do not count.

    Raises:
        InputFaults: where `path` is neither a folder nor a workbook.
    """
    unheard = Report()
    folder, book = locate(path, unheard)
    return _digest(find_sources(folder, book, unheard))


def demo_digest() -> str:
    """The digest that was kept when the demo was made; empty where there is no demo."""
    folder = Path(str(resources.files("crewplan"))).parent / "demo_data"
    try:
        return (folder / MARK).read_text(encoding="ascii").split()[0]
    except (OSError, IndexError, ValueError):
        return ""


def check_demo(
    folder: Path, sources: Mapping[str, Source], settings: Settings, report: Report
) -> None:
    """Fault a clock set by hand in a folder with other tables than the demo's own."""
    if settings.demo is None or _digest(sources) == demo_digest():
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
