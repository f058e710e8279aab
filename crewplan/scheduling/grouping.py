"""Many short lists at once: what belongs together is found without a loop over every entry."""

from collections.abc import Iterator, Sequence
from itertools import chain

import numpy as np
from numpy.typing import NDArray


def grouped(things: NDArray[np.int64], many: int) -> Iterator[tuple[int, NDArray[np.int64]]]:
    """Each thing that is named, and where, ascending; what is named first comes first.

    Args:
        things: by number, from 0 to below `many`.
        many: how many things there are.
    """
    if len(things) == 0:
        return
    # numbers of 16 bits and less are sorted by counting them
    order = np.argsort(things.astype(np.min_scalar_type(many)), kind="stable").astype(np.int64)
    found = things[order]
    begins = np.concatenate([[0], np.flatnonzero(found[1:] != found[:-1]) + 1])
    names, ends = found[begins].tolist(), [*begins.tolist(), len(order)]
    for group in np.argsort(order[begins]).tolist():
        yield names[group], order[ends[group] : ends[group + 1]]


def runs(begins: NDArray[np.int64], lengths: NDArray[np.int64]) -> NDArray[np.int64]:
    """So many whole numbers from each beginning upwards, one run after another."""
    ends = np.cumsum(lengths)
    numbers: NDArray[np.int64] = np.arange(lengths.sum())
    numbers += np.repeat(begins - (ends - lengths), lengths)
    return numbers


def spread(
    which: NDArray[np.int64], lists: Sequence[Sequence[int]]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """All that is in the list that each entry names: whose it is, by index, and what it is.

    Args:
        which: of each entry the list, by index.
        lists: whole numbers.
    """
    lengths = np.array([len(numbers) for numbers in lists], dtype=np.int64)
    flat = np.fromiter(chain.from_iterable(lists), dtype=np.int64)
    begins = np.cumsum(lengths) - lengths
    taken = lengths[which]
    return np.repeat(np.arange(len(which)), taken), flat[runs(begins[which], taken)]
