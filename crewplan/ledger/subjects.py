"""What lost hours were about: an authority, a supplier, a limit of the weather, a part.

`hours_worked.about` says so in a free word, where people knew; where they did not, the job or the
note may. What neither tells is not guessed.
"""

from collections.abc import Iterable, Mapping
from typing import Literal, NamedTuple, get_args

from crewplan.model.branch import Branch
from crewplan.model.ledger import SubjectBy
from crewplan.model.limit_row import Measure
from crewplan.takeoff.words import TAKEOFF_ITEMS

NOT_TOLD: Literal[""] = ""
"""The hours are of such a subject's causes, and nobody said which."""

_OWN_CAUSES: Mapping[SubjectBy, frozenset[str]] = {
    "authority": frozenset({"waiting_for_permit", "failed_inspection"}),
    "supplier": frozenset({"waiting_for_material"}),
    "limit": frozenset({"weather"}),
    "part": frozenset({"missing_tool_or_part", "waiting_for_material", "return_trip"}),
}
"""Causes that always are a matter of such a subject; of others, hours are where `about` names one
that the tables know."""


class Lost(NamedTuple):
    """What is known of a lost hour."""

    cause: str
    about: str
    note: str
    authority: str
    """The job's."""


def _folded(word: str) -> str:
    return " ".join(word.replace("_", " ").casefold().split())


def _by_fold(words: Iterable[str]) -> dict[str, str]:
    """Words as the tables write them, by how they compare; the first of equal ones."""
    found: dict[str, str] = {}
    for word in words:
        if fold := _folded(word):
            found.setdefault(fold, " ".join(word.split()))
    return found


class Subjects:
    """The words of a branch that an hour may be about."""

    def __init__(self, branch: Branch, abouts: Iterable[str] = ()) -> None:
        """Offices of `jobs` and `authorities`, suppliers of `arrivals`, all measures of limits, the
        take-off's words and the store's items.

        Args:
            branch: the tables.
            abouts: all that people wrote; words that no table knows are told as parts.
        """
        offices = [row.authority for row in branch.authorities]
        offices += [word for job in branch.jobs for word in (job.authority, job.utility)]
        self._known: dict[SubjectBy, dict[str, str]] = {
            "authority": _by_fold(offices),
            "supplier": _by_fold(row.supplier for row in branch.arrivals),
            "limit": _by_fold(word.replace("_", " ") for word in get_args(Measure)),
            "part": _by_fold([*TAKEOFF_ITEMS, *(row.item for row in branch.items)]),
        }
        # a supplier may have a row among the offices that count working days
        for fold in self._known["supplier"]:
            self._known["authority"].pop(fold, None)
        self._parts = sorted(self._known["part"], key=len, reverse=True)
        known = {fold for words in self._known.values() for fold in words}
        written = _by_fold(sorted(abouts))
        self._free = {fold: word for fold, word in written.items() if fold not in known}
        suppliers: dict[str, set[str]] = {}
        for row in branch.arrivals:
            if row.supplier:
                suppliers.setdefault(_folded(row.item), set()).add(row.supplier)
        self._one_supplier = {
            item: next(iter(found)) for item, found in suppliers.items() if len(found) == 1
        }
        self._seen: dict[tuple[SubjectBy, Lost], str | None] = {}

    def words(self, by: SubjectBy) -> tuple[str, ...]:
        """Those that the tables know, in their order."""
        return tuple(self._known[by].values())

    def names(self, by: SubjectBy) -> tuple[str, ...]:
        """Every name that `of` may give: those of the tables, then what people wrote."""
        return (*self.words(by), *self._free.values()) if by == "part" else self.words(by)

    def named(self, by: SubjectBy, about: str) -> str | None:
        """The authority, supplier, limit or part that the tables know by such a word."""
        return self._known[by].get(_folded(about))

    def of(self, by: SubjectBy, lost: Lost) -> str | None:
        """Whom or what a lost hour is about; empty: not told; None: no matter of such a subject."""
        key = (by, lost)
        if key not in self._seen:
            self._seen[key] = self._find(by, lost)
        return self._seen[key]

    def _find(self, by: SubjectBy, lost: Lost) -> str | None:
        named = self.named(by, lost.about)
        if named is not None:
            return named
        if lost.cause not in _OWN_CAUSES[by]:
            return None
        if by == "authority":
            return lost.authority
        if by == "supplier":
            return self._one_supplier.get(_folded(self._part(lost)), NOT_TOLD)
        return self._part(lost) if by == "part" else NOT_TOLD

    def _part(self, lost: Lost) -> str:
        """`about` where it is no other kind of subject, else the longest known word in the note."""
        fold = _folded(lost.about)
        elsewhere = any(fold in self._known[by] for by in get_args(SubjectBy) if by != "part")
        if fold and not elsewhere:
            return self._longest(fold) or self._free[fold]
        return self._longest(_folded(lost.note))

    def _longest(self, told: str) -> str:
        found = next((word for word in self._parts if word in told), "")
        return self._known["part"][found] if found else ""
