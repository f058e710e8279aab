"""Who does pieces of work: this process, one after another, or the workers of a cluster."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Protocol


class ClusterFault(Exception):
    """The cluster is out of reach, or of no use; the text is one sentence."""


@dataclass(frozen=True, slots=True, eq=False)
class Call:
    """A piece of work: a function of a module, and values that can be sent."""

    key: str
    """Whose it is; one of a kind in a run."""
    work: Callable[..., Any]
    given: tuple[Any, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Done:
    """What came of a call: its value, or what it raised."""

    key: str
    value: Any = None
    error: Exception | None = None


class Workers(Protocol):
    """Does calls and hands each over as soon as it is done, in any order."""

    def run(self, calls: Iterable[Call]) -> Iterator[Done]:
        """Do all calls; they are taken from the iterable as workers get free.

        Raises:
            ClusterFault: where there is nobody left to do them.
        """


class OneAfterAnother:
    """This process itself."""

    def run(self, calls: Iterable[Call]) -> Iterator[Done]:
        """In the calls' own order."""
        for call in calls:
            try:
                value = call.work(*call.given)
            except Exception as error:  # one branch's trouble must not end the others
                yield Done(call.key, error=error)
            else:
                yield Done(call.key, value)
