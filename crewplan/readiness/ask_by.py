"""By which day something must be asked for, so that it is likely there in time."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from crewplan.model.chance import whole_percent
from crewplan.readiness.chances import NO_RECORD
from crewplan.readiness.waits import Waits


@dataclass(frozen=True, slots=True)
class AskBy:
    """The latest day on which to ask, or why none can be told."""

    by: date | None
    note: str = ""
    """Beside a day: what it leaves out."""


def ask_by(waits: Waits | None, wanted_on: date, share: float) -> AskBy:
    """The latest day on which a new request has a chance of `share` to be over by `wanted_on`."""
    if waits is None:
        return AskBy(None, NO_RECORD)
    lead = waits.days_for(share)
    if lead is None:
        return AskBy(None, f"the record does not reach {whole_percent(share)} %")
    return AskBy(waits.clock.latest_before(wanted_on, lead))


def ask_by_in_order(
    kinds: Iterable[str],
    order: Mapping[str, tuple[str, ...]],
    waits_of: Callable[[str], Waits | None],
    wanted_on: date,
    share: float,
) -> dict[str, AskBy]:
    """By kind that is to be asked for: the latest day, what is asked for after it included.

    Args:
        kinds: of one stage, not asked for yet or refused.
        order: by kind what must be in hand before it is asked for; no circles.
        waits_of: a kind's record.
        wanted_on: the stage's day.
        share: chance with which each answer is to be there in time.
    """
    asking = tuple(dict.fromkeys(kinds))
    found: dict[str, AskBy] = {}

    def told(kind: str) -> AskBy:
        if kind not in found:
            wanted, left_out = wanted_on, []
            for later in asking:
                if kind in order.get(later, ()):
                    answer = told(later)
                    if answer.by is None:
                        left_out.append(f"without the time for {later} ({answer.note})")
                    else:
                        wanted = min(wanted, answer.by)
            own = ask_by(waits_of(kind), wanted, share)
            found[kind] = own if own.by is None else AskBy(own.by, "; ".join(left_out))
        return found[kind]

    return {kind: told(kind) for kind in asking}
