"""The best choice of a search so far: engines do not always hand over the best that they saw."""

from crewplan.scheduling.engines.interface import EngineResult, SoFar, Tell, least_of_all, settle
from crewplan.scheduling.selection import Picked, Selection


class Best:
    """A choice that keeps to all rows, its exact price, and what is proven."""

    def __init__(self, selection: Selection, start: Picked, tell: Tell) -> None:
        """Begin with a choice that holds, and tell of it."""
        self._selection, self._tell = selection, tell
        self.picked, self.price = start, selection.price(start)
        self.bound = min(least_of_all(selection), self.price)
        self._say()

    def _say(self) -> None:
        self._tell(SoFar(self.picked, self.price, self.bound))

    def offer(self, picked: Picked) -> bool:
        """Take it if it is cheaper and keeps to all rows; whether it was taken."""
        price = self._selection.price(picked)
        if price >= self.price or not self._selection.holds(picked):
            return False
        self.picked, self.price = picked, price
        self._say()
        return True

    def prove(self, bound: int | None) -> None:
        """No choice costs less than this."""
        higher = self.bound if bound is None else min(bound, self.price)
        if higher > self.bound:
            self.bound = higher
            self._say()

    def within(self, gap: float) -> bool:
        """Whether price and bound are this near, as a share of the price."""
        return self.price - self.bound <= gap * abs(self.price)

    def result(self, steps: int) -> EngineResult:
        """As an engine gives it."""
        return settle(self._selection, self.picked, None, self.bound, steps)
