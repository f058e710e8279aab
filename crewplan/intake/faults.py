"""What is wrong with a folder: one sentence for each fault, all of them in one error."""

from collections import Counter
from dataclasses import dataclass, field

from crewplan.intake.file_limits import (
    FAULTS_TOLD,
    NAME_CHARACTERS,
    SENTENCE_CHARACTERS,
    WARNINGS_TOLD,
)
from crewplan.model.characters import one_line

_LONGEST_VALUE = 60


def quoted(value: str) -> str:
    """A cell's value for a sentence: on one line, in quotation marks, cut where it is huge."""
    return f'"{one_line(value, _LONGEST_VALUE)}"'


def place(file: str, row: int | None = None, column: str = "") -> str:
    """Where something stands: `stages.csv, row 7, column kind`."""
    toml = file.endswith(".toml")
    parts = [one_line(file, NAME_CHARACTERS)]
    column = one_line(column, NAME_CHARACTERS)
    if row is not None:
        parts.append(f"{'line' if toml else 'row'} {row}")
    if column:
        parts.append(column if toml else f"column {column}")
    return ", ".join(parts)


def _clear(sentence: str) -> str:
    """A sentence that any terminal and page can show, whatever stood in the files."""
    return one_line(sentence, SENTENCE_CHARACTERS)


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that a person must put right."""

    file: str
    """File, or workbook and sheet."""
    row: int | None
    """As a spreadsheet counts, header = 1; None: the whole file."""
    column: str
    """Several joined by `, `; empty: the whole row."""
    value: str
    """As it stands in the table; empty where there is none."""
    expected: str
    """What would have been right, ready to stand after 'is not' or 'expected'."""
    problem: str = ""
    """What is wrong, where 'VALUE is not EXPECTED' does not say it."""

    def sentence(self) -> str:
        """The fault in plain words, on one line."""
        where = place(self.file, self.row, self.column)
        if not self.problem:
            return _clear(f"{where}: {quoted(self.value)} is not {self.expected}.")
        wish = f"; expected {self.expected}" if self.expected else ""
        return _clear(f"{where}: {self.problem}{wish}.")


class InputFaults(Exception):
    """All faults of all files of a folder; nothing of it was used.

    `warnings` has the sentences that reading gave besides.
    """

    def __init__(self, faults: tuple[Fault, ...], warnings: tuple[str, ...] = ()) -> None:
        """Keep the faults in the order of files and rows."""
        super().__init__("\n".join(fault.sentence() for fault in faults))
        self.faults = faults
        self.warnings = warnings


@dataclass(slots=True)
class Report:
    """Collects what reading finds, so that all of it comes at once."""

    faults: list[Fault] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    settled: set[tuple[str, int | None, str]] = field(default_factory=set)
    """File, row and column of cells of which all is said."""
    counts: Counter[str] = field(default_factory=Counter)
    """Faults by file, those that are not told too."""
    unwarned: int = 0
    """Warnings that are only counted."""

    def fault(
        self,
        file: str,
        row: int | None,
        column: str,
        value: str,
        expected: str,
        problem: str = "",
    ) -> None:
        """Note a fault."""
        if (file, row, column) in self.settled:
            return
        self.counts[file] += 1
        if self.counts[file] <= FAULTS_TOLD:
            self.faults.append(Fault(file, row, column, value, expected, problem))

    def warn(self, sentence: str) -> None:
        """Note something that a person should know, though the folder can be used."""
        if len(self.warnings) < WARNINGS_TOLD:
            self.warnings.append(_clear(sentence))
            return
        self.unwarned += 1
        self.warnings[WARNINGS_TOLD:] = [f"{self.unwarned:,} further warnings are not told."]

    def raise_if_faulty(self) -> None:
        """Raise all faults at once, by file in the order read, then by row.

        Raises:
            InputFaults: where there is any.
        """
        if not self.faults:
            return
        found: list[Fault] = []
        for file in dict.fromkeys(fault.file for fault in self.faults):
            own = {fault for fault in self.faults if fault.file == file}
            found += sorted(own, key=lambda fault: (fault.row or 0, fault.column))
            if self.counts[file] > FAULTS_TOLD:
                untold = f"{self.counts[file] - FAULTS_TOLD:,} further faults are not told"
                found.append(Fault(file, None, "", "", "", untold))
        raise InputFaults(tuple(found), tuple(self.warnings))
