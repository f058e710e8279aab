"""Which column of a file holds which field, in which unit."""

import difflib
from collections.abc import Sequence
from dataclasses import dataclass

from crewplan.intake.faults import Report, place
from crewplan.intake.fields import Field
from crewplan.model.units import SUFFIXES, convert, suffix_of


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a file that holds a field."""

    index: int
    name: str
    """As the file writes it."""
    field: Field
    suffix: str
    """Unit of the file's numbers; the field's own where nothing is converted."""

    @property
    def converts(self) -> bool:
        """Whether the file uses another unit than the field."""
        return self.suffix != self.field.suffix

    def canonical(self, value: float) -> float:
        """A number of the file in the field's own unit."""
        return convert(value, self.suffix, self.field.suffix) if self.converts else value


def match(name: str, fields: Sequence[Field]) -> tuple[Field, str] | None:
    """The field that a name means, and the unit that it gives."""
    for field in fields:
        if field.name == name:
            return field, field.suffix
    suffix = suffix_of(name)
    if not suffix:
        return None
    stem, dimension = name.removesuffix(suffix), SUFFIXES[suffix].dimension
    for field in fields:
        same = field.suffix and field.name == stem + field.suffix
        if same and SUFFIXES[field.suffix].dimension == dimension:
            return field, suffix
    return None


def unknown(name: str, fields: Sequence[Field]) -> str:
    """Words about a name that is not known, with the nearest one that is."""
    near = difflib.get_close_matches(name, [field.name for field in fields], n=1, cutoff=0.75)
    return f"not known, and not read{f' (did you mean {near[0]}?)' if near else ''}"


def lay_out(
    file: str, header: Sequence[str], fields: Sequence[Field], report: Report
) -> dict[str, Column]:
    """Columns by field; faults a column that is there twice, warns of one that is not known."""
    found: dict[str, Column] = {}
    for index, written in enumerate(header):
        name = written.lower()
        if not name:
            report.warn(f"{file}: column {index + 1} has no name, and is not read.")
            continue
        hit = match(name, fields)
        if hit is None:
            report.warn(f"{place(file, None, written)}: {unknown(name, fields)}.")
            continue
        field, suffix = hit
        if field.name in found:
            first = found[field.name].name
            problem = (
                f"column {first} holds the same measure" if first != name else "it is there twice"
            )
            report.fault(file, 1, name, written, "one of them", problem)
            continue
        found[field.name] = Column(index, name, field, suffix)
    return found
