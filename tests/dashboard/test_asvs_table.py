"""The table of security requirements in DEVELOPERS.md names tests that there are."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]


def rows() -> list[list[str]]:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    section = text.partition("## Security: OWASP ASVS")[2].partition("\n## ")[0]
    lines = [line for line in section.splitlines() if re.match(r"\| \d", line)]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def test_every_requirement_in_the_table_names_a_test_that_exists() -> None:
    sources = [path.read_text("utf-8") for path in (ROOT / "tests").rglob("test_*.py")]
    there = {name for source in sources for name in re.findall(r"def (test_\w+)", source)}
    assert len(rows()) > 50
    for numbers, _, _, tests in rows():
        named = re.findall(r"`(test_\w+)`", tests)
        assert named, numbers
        assert set(named) <= there, numbers


def test_no_requirement_stands_twice() -> None:
    numbers = [number for row in rows() for number in row[0].split(", ")]
    assert all(re.fullmatch(r"\d+\.\d+\.\d+", number) for number in numbers)
    assert len(numbers) == len(set(numbers))
