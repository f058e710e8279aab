"""What is wrong with a field, by its table's column, in the reader's language."""

from crewplan.store.entering import expected_of, fault_of
from dashboard.entries.in_words import reader_tongue, words


def cell_fault(table: str, column: str, text: str) -> str:
    """As `fault_of`; empty: nothing is wrong."""
    bad = fault_of(table, column, text)
    if not bad or reader_tongue().code == "en" or "\0" in text:
        return bad
    what = words(expected_of(table, column))
    if not text.strip():
        return words("It is empty; expected {what}.", what=what)
    return words('"{text}" is not {what}.', text=text.strip(), what=what)
