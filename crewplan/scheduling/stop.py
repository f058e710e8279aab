"""When an engine stops, as a value."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stop:
    """Whatever comes first ends the search.

    With `steps` set and `seconds` None the answer is the same on every machine and run.
    """

    seconds: float | None = 12.0
    """Wall clock; engines look at it between rounds and may overrun it a little."""
    gap: float = 0.002
    """(price - bound) / |price| at which the plan is good enough."""
    steps: int | None = None
    """Nodes of HiGHS, conflicts of CP-SAT."""
    threads: int = 2
    """Of an engine; a search by steps uses one."""
    seed: int = 0

    @property
    def workers(self) -> int:
        """Threads that the engine may use: with more than one, steps would not be repeatable."""
        return 1 if self.steps is not None else self.threads
