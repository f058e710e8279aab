"""Weather cells as columns of codes: each distinct text is kept, and read, once.

A table of millions of rows has few distinct texts in most columns; the text grammar of all other
tables can then serve here too.
"""

import csv
import warnings
from array import array
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from crewplan.intake.file_limits import CELL_CHARACTERS, WEATHER
from crewplan.intake.raw_table import Row, UnreadableTable
from crewplan.intake.sources import Source
from crewplan.model.characters import without_embeddings

_CHUNK_ROWS = 200_000


@dataclass(frozen=True, slots=True, eq=False)
class TextColumn:
    """One column; the text of row i is `texts[codes[i]]`, stripped, empty where there is none."""

    codes: NDArray[np.int64]
    texts: tuple[str, ...]

    def at(self, index: int) -> str:
        """The text of a row."""
        return self.texts[int(self.codes[index])]


@dataclass(frozen=True, slots=True, eq=False)
class TextTable:
    """All columns of a table, and the row number of each entry as a spreadsheet counts."""

    file: str
    header: tuple[str, ...]
    rows: NDArray[np.int64]
    columns: tuple[TextColumn, ...]
    too_long: tuple[tuple[int, int, str], ...]
    """Row, number of cells and last cell of rows with more cells than the header."""


class _Coder:
    """Gives each distinct text of a column a number."""

    def __init__(self) -> None:
        self.known: dict[str, int] = {}
        self.codes = array("q")

    def code(self, text: str) -> int:
        return self.known.setdefault(text, len(self.known))

    def column(self) -> TextColumn:
        return TextColumn(np.array(self.codes, dtype=np.int64), tuple(self.known))


def _by_rows(file: str, header: tuple[str, ...], rows: Iterator[Row]) -> TextTable:
    """The slow way, which tells what is wrong with the file itself."""
    coders = [_Coder() for _ in header]
    numbers = array("q")
    too_long: list[tuple[int, int, str]] = []
    for number, cells in rows:
        if len(cells) > len(header):
            too_long.append((number, len(cells), cells[-1]))
            continue
        numbers.append(number)
        for at, coder in enumerate(coders):
            coder.codes.append(coder.code(cells[at] if at < len(cells) else ""))
    return TextTable(
        file,
        header,
        np.array(numbers, dtype=np.int64),
        tuple(coder.column() for coder in coders),
        tuple(too_long),
    )


def _in_chunks(source: Source, header: Sequence[str]) -> Iterator[pd.DataFrame]:
    with warnings.catch_warnings():
        warnings.simplefilter("error", pd.errors.ParserWarning)
        yield from pd.read_csv(
            source.path,
            header=0,
            names=list(range(len(header))),
            index_col=False,
            dtype=object,
            na_filter=False,
            skip_blank_lines=False,
            encoding="utf-8-sig",
            chunksize=_CHUNK_ROWS,
        )


def _by_columns(source: Source, header: tuple[str, ...]) -> TextTable:
    """The fast way.

    Raises:
        ValueError: where the file is not plain (pandas' parser errors are such).
    """
    coders = [_Coder() for _ in header]
    pieces: list[list[NDArray[np.int64]]] = [[] for _ in header]
    count = 0
    for chunk in _in_chunks(source, header):
        count += len(chunk)
        if count > min(WEATHER.rows, WEATHER.cells // len(header)):
            raise UnreadableTable("it is too long", f"at most {WEATHER.rows:,} rows")
        for at, coder in enumerate(coders):
            codes, texts = pd.factorize(chunk[at])
            # the last entry is met by code -1: a cell that a short row does not have
            if max(map(len, texts), default=0) > CELL_CHARACTERS:
                raise ValueError("the slow way tells the row")
            known = [coder.code(without_embeddings(text).strip()) for text in (*texts, "")]
            pieces[at].append(np.array(known, dtype=np.int64)[codes])
    columns = tuple(
        TextColumn(np.concatenate(parts) if parts else np.zeros(0, np.int64), tuple(coder.known))
        for coder, parts in zip(coders, pieces, strict=True)
    )
    rows = np.arange(2, count + 2, dtype=np.int64)
    return TextTable(source.file, header, rows, columns, ())


def _without_empty_rows(table: TextTable) -> TextTable:
    kept = np.zeros(len(table.rows), dtype=bool)
    for column in table.columns:
        kept |= np.array([bool(text) for text in column.texts] or [False])[column.codes]
    if kept.all():
        return table
    columns = tuple(TextColumn(column.codes[kept], column.texts) for column in table.columns)
    return TextTable(table.file, table.header, table.rows[kept], columns, table.too_long)


def read_texts(source: Source) -> TextTable:
    """All cells of a weather table.

    Raises:
        UnreadableTable: where the file cannot be read to its end.
    """
    header, rows = source.iterate()
    if source.sheet is None:
        try:
            return _without_empty_rows(_by_columns(source, header))
        except (ValueError, OSError, csv.Error, pd.errors.ParserWarning):
            header, rows = source.iterate()
    return _by_rows(source.file, header, rows)
