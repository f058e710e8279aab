"""What is wrong with a folder: one sentence for each fault, all of them in one error."""

from dataclasses import dataclass, field

_LONGEST_VALUE = 60


def quoted(value: str) -> str:
    """A cell's value for a sentence: on one line, in quotation marks, cut where it is huge."""
    flat = " ".join(value.split())
    return f'"{flat if len(flat) <= _LONGEST_VALUE else flat[:_LONGEST_VALUE] + "…"}"'


def place(file: str, row: int | None = None, column: str = "") -> str:
    """Where something stands: `stages.csv, row 7, column kind`."""
    toml = file.endswith(".toml")
    parts = [file]
    if row is not None:
        parts.append(f"{'line' if toml else 'row'} {row}")
    if column:
        parts.append(column if toml else f"column {column}")
    return ", ".join(parts)


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
            return f"{where}: {quoted(self.value)} is not {self.expected}."
        wish = f"; expected {self.expected}" if self.expected else ""
        return f"{where}: {self.problem}{wish}."


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
        self.faults.append(Fault(file, row, column, value, expected, problem))

    def warn(self, sentence: str) -> None:
        """Note something that a person should know, though the folder can be used."""
        self.warnings.append(sentence)

    def raise_if_faulty(self) -> None:
        """Raise all faults at once, by file in the order read, then by row.

        Raises:
            InputFaults: where there is any.
        """
        if not self.faults:
            return
        order = {name: at for at, name in enumerate(dict.fromkeys(f.file for f in self.faults))}
        found = sorted(set(self.faults), key=lambda f: (order[f.file], f.row or 0, f.column))
        raise InputFaults(tuple(found), tuple(self.warnings))
