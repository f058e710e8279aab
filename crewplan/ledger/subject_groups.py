"""Hours grouped by the authority, supplier, limit or part that they were lost about."""

from collections.abc import Callable

import numpy as np

from crewplan.ledger.book import Book
from crewplan.ledger.entries import CAUSES, Entries, Ints
from crewplan.ledger.subjects import Lost, Subjects
from crewplan.model.ledger import NOT_TOLD, OTHER_CAUSES, PRODUCTIVE, SubjectBy


def subject_groups(by: SubjectBy, book: Book, entries: Entries) -> Ints:
    """0 for productive hours, then the names in order, then not told, then other causes."""
    subjects = subjects_of(book)
    names = subjects.names(by)
    place = {name: 1 + at for at, name in enumerate(names)} | {"": 1 + len(names)}
    groups = np.zeros(len(entries.day), dtype=np.int64)
    lost = np.flatnonzero(entries.cause)
    offices, office_of = _authorities(book)
    words, causes, many = max(len(book.words), 1), len(CAUSES), max(len(offices), 1)
    office = office_of[entries.stage[lost]]
    # notes are only read for parts, and for who brought them
    notes = entries.note[lost] if by in ("part", "supplier") else np.zeros_like(lost)
    keys = ((notes * words + entries.about[lost]) * many + office) * causes
    found, where = np.unique(keys + entries.cause[lost], return_inverse=True)
    of_key = []
    for key in found.tolist():
        rest, cause = divmod(key, causes)
        rest, at = divmod(rest, many)
        note, about = divmod(rest, words)
        told = Lost(CAUSES[cause], book.words[about], book.words[note], offices[at])
        name = subjects.of(by, told)
        of_key.append(2 + len(names) if name is None else place[name])
    groups[lost] = np.array(of_key, dtype=np.int64)[where]
    return groups


def subject_names(by: SubjectBy, book: Book) -> Callable[[int], str]:
    """What each group of `subject_groups` is called."""
    names = (PRODUCTIVE, *subjects_of(book).names(by), NOT_TOLD, OTHER_CAUSES)
    return lambda group: names[group]


def subjects_of(book: Book) -> Subjects:
    """All that the branch's hours may be about."""
    abouts = np.unique(book.entries.about).tolist()
    return Subjects(book.branch, (book.words[at] for at in abouts))


def _authorities(book: Book) -> tuple[list[str], Ints]:
    """Authorities of jobs, each once, and which of them each stage's job has."""
    at: dict[str, int] = {}
    of_job = [at.setdefault(job.authority, len(at)) for job in book.branch.jobs]
    return list(at), np.array([of_job[job] for job in book.job_of], dtype=np.int64)
