"""The cutting-stock problem of one job, exact: which way for each rail, which patterns of stock.

Every pattern is a set of lengths that fit into one stock length and take no further one. Fewest
stock lengths such that the patterns hold all lengths of the ways that were chosen (Gilmore and
Gomory's form, all columns written out); scipy's HiGHS solves it.
"""

from collections.abc import Sequence

import numpy as np

from crewplan.takeoff.splices import Pieces

_ROUNDING_MM = 1e-6
_DIGITS = 4
_MOST_PATTERNS = 800
"""Beyond that the quick packing and its proven bound stand."""
MOST_WAYS = 100
"""So many ways of all rails together have far more patterns than that."""
_NODES = 5_000
"""Where the solver stops; counted, so that the answer does not hang on the machine's speed."""


def best_patterns(
    kinds: Sequence[tuple[tuple[Pieces, ...], int]], stock_mm: float, least: int, known: int
) -> tuple[list[list[int]], list[tuple[float, ...]]] | None:
    """How often each way of each kind of rail is used, and the patterns to cut.

    Args:
        kinds: for each kind of rail its ways and how many such rails there are.
        stock_mm: a stock length.
        least: no cutting takes fewer.
        known: what a cutting that is in hand takes.

    Returns:
        None where none takes fewer than `known`, or where the patterns are too many to be written
        out.
    """
    if sum(len(ways) for ways, _ in kinds) > MOST_WAYS:
        return None
    lengths = sorted({round(p, _DIGITS) for ways, _ in kinds for way in ways for p in way})[::-1]
    most = dict.fromkeys(lengths, 0)
    for ways, count in kinds:
        for length in {round(piece, _DIGITS) for way in ways for piece in way}:
            often = max(sum(round(p, _DIGITS) == length for p in way) for way in ways)
            most[length] += count * often
    patterns = _patterns(lengths, most, stock_mm)
    if patterns is None:
        return None
    from scipy.optimize import Bounds, LinearConstraint, milp  # slow to load, and seldom needed
    from scipy.sparse import csr_array

    columns = [(kind, way) for kind, (ways, _) in enumerate(kinds) for way in range(len(ways))]
    rows: list[int] = []
    at: list[int] = []
    values: list[float] = []

    def put(row: int, column: int, value: float) -> None:
        rows.append(row)
        at.append(column)
        values.append(value)

    row_of = {length: row for row, length in enumerate(lengths)}
    for column, pattern in enumerate(patterns):
        for length in pattern:
            put(row_of[length], column, 1.0)
    for number, (kind, way) in enumerate(columns):
        for piece in kinds[kind][0][way]:
            put(row_of[round(piece, _DIGITS)], len(patterns) + number, -1.0)
        put(len(lengths) + kind, len(patterns) + number, 1.0)
    size = len(patterns) + len(columns)
    for column in range(len(patterns)):
        put(len(lengths) + len(kinds), column, 1.0)
    height = len(lengths) + len(kinds) + 1
    matrix = csr_array((values, (rows, at)), shape=(height, size))  # sums what stands twice
    counts = [float(count) for _, count in kinds]
    low = np.array([0.0] * len(lengths) + counts + [float(least)])
    high = np.array([np.inf] * len(lengths) + counts + [float(known - 1)])
    answer = milp(
        np.array([1.0] * len(patterns) + [0.0] * len(columns)),
        integrality=np.ones(size),
        bounds=Bounds(0, np.inf),
        constraints=LinearConstraint(matrix, low, high),
        options={"node_limit": _NODES},
    )
    if answer.x is None:
        return None
    chosen = np.rint(answer.x).astype(int)
    uses: list[list[int]] = [[] for _ in kinds]
    for (kind, _), count in zip(columns, chosen[len(patterns) :], strict=True):
        uses[kind].append(int(count))
    cut = [p for p, count in zip(patterns, chosen, strict=False) for _ in range(int(count))]
    return uses, cut


def _patterns(
    lengths: Sequence[float], most: dict[float, int], stock_mm: float
) -> list[tuple[float, ...]] | None:
    """All sets of lengths that fit into a stock length and leave no room for one more that may
    still be asked for; None where they are too many."""
    found: list[tuple[float, ...]] = []
    open_sets: list[tuple[tuple[float, ...], int, float]] = [((), 0, stock_mm)]
    while open_sets:
        held, start, room = open_sets.pop()
        following = [
            number
            for number, length in enumerate(lengths[start:], start)
            if length <= room + _ROUNDING_MM and held.count(length) < most[length]
        ]
        if held and not following:
            found.append(held)
        open_sets += [
            ((*held, lengths[number]), number, room - lengths[number]) for number in following
        ]
        if len(found) + len(open_sets) > _MOST_PATTERNS:
            return None
    return found
