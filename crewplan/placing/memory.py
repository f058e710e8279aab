"""What placing found for a stage, kept for the next look at nearly the same branch.

After one event most stages meet most crews under the same facts as before: a sick person changes
one crew, a permit one stage. What was found is taken again where all that it was made from is the
same, held against each other as bytes, so that a doubt only costs time.
"""

import pickle
from collections.abc import Callable
from copy import copy
from hashlib import blake2b
from typing import Any, TypeVar

import numpy as np

from crewplan.model.job_rows import Job
from crewplan.placing.crew_choices import CrewChoices
from crewplan.placing.crew_days import CrewDays
from crewplan.placing.nearly import Nearly
from crewplan.placing.site import Place, Sites
from crewplan.placing.stage_facts import StageFacts

Made = TypeVar("Made")
Part = tuple[str, ...]
"""(): a stage as a whole; (crew,): what a crew could do; (crew, what): worked out of that;
(crew, "drive", other): a drive shared with another stage."""
WAYS = "ways"
"""Part of a crew: all placements of a stage with it."""
_ByDay = dict[bytes, tuple[bytes, ...]]
"""By what stands for a site's weather: each day's open hours, member by member."""
_DIGEST = 16
_Held = dict[str, dict[Part, tuple[bytes, Any]]]
"""By stage and part: what stands for all that it was made from, and what came of it."""


def _apart(pair: bytes) -> tuple[bytes, bytes, bytes]:
    """Of what stands for a pair: for the stage's facts, its site's weather, and the crew."""
    return pair[:_DIGEST], pair[_DIGEST : 2 * _DIGEST], pair[2 * _DIGEST :]


def _print(*values: object) -> bytes:
    return blake2b(
        pickle.dumps(values, protocol=pickle.HIGHEST_PROTOCOL), digest_size=_DIGEST
    ).digest()


class Memory:
    """Of one look at a time: what the last one did not use is forgotten."""

    def __init__(self) -> None:
        """Nothing is known yet."""
        self._held: _Held = {}
        self._before: _Held = {}
        self._site = self._store = b""
        self._crews: dict[str, bytes] = {}
        self._spots: dict[tuple[Place, int], bytes] = {}
        self._by_day: _ByDay = {}
        self._by_day_before: _ByDay = {}
        self.recalled = self.made = 0
        """Pairs of stage and crew in this look: taken again, and made anew."""

    def look(self, site: Sites) -> None:
        """A new look begins."""
        known = site.known
        self._before, self._held = self._held, {}
        self._by_day_before, self._by_day = self._by_day, {}
        self._site = _print(
            known.horizon, known.branch.settings, known.branch.equipment, site.shifts
        )
        self._store = _print(known.supply, site.over)
        self._crews = {crew.name: _print(crew) for crew in site.crews}
        self._spots = {}
        self.recalled = self.made = 0

    def of(self, site: Sites, facts: StageFacts) -> bytes:
        """What stands for the stage, its site's weather for it, and all that stages share."""
        job: Job = facts.job
        seen = job.spot, facts.exposed
        if seen not in self._spots:
            self._spots[seen] = _print(
                site.levels(job, facts.exposed),
                # only roof and lift wait for a forecast; a shut roof changes nothing on the ground
                site.forecast_from(job, facts.exposed) if facts.exposed > 1 else None,
            )
            self._by_day[self._spots[seen]] = site.open_by_day(job, facts.exposed)
        return _print(self._site, facts) + self._spots[seen]

    def of_pair(self, told: bytes, crew: str, *, in_one_go: bool) -> bytes:
        """What stands for the stage with a crew."""
        return told + bytes([in_one_go]) + self._crews[crew]

    def of_kits(self, *made_of: object) -> bytes:
        """What stands for the store, for half-days that are over, and for what a stage adds."""
        return _print(self._store, *made_of)

    def of_ways(self, crew: str, *stages: str) -> bytes:
        """What stands for all that these stages' placements with a crew were made from."""
        return b"".join(self._held[stage][crew, WAYS][0] for stage in stages)

    def again(
        self,
        stage: str,
        part: Part,
        key: bytes,
        make: Callable[[], Made],
        keep: Callable[[Made], bool] = lambda _: True,
    ) -> Made:
        """What was made of a stage in the last look, if it was made from the same.

        The part () is all of it: where that is the same, so are its parts. `keep` tells of what is
        made anew whether all that it was made from stands in the key.
        """
        known: Made | None = self._recall(stage, part, key)
        if known is not None:
            return known
        found = make()
        if keep(found):
            self._keep(stage, part, key, found)
        return found

    def recall(self, pair: bytes, facts: StageFacts, crew: CrewDays) -> CrewChoices | None:
        """What was found under the same facts; None: it has to be made."""
        found: CrewChoices | None = self._recall(facts.stage.stage, (crew.name,), pair)
        self.recalled += found is not None
        self.made += found is None
        return found

    def nearly(self, pair: bytes, facts: StageFacts, crew: CrewDays) -> Nearly | None:
        """What was found under facts that differ in the weather of some days; None: in more."""
        before = self._before.get(facts.stage.stage, {}).get((crew.name,))
        if before is None:
            return None
        (facts_were, spot_was, crew_was), found = _apart(before[0]), before[1]
        facts_are, spot_is, crew_is = _apart(pair)
        days_were = self._by_day_before.get(spot_was)
        if days_were is None or (facts_were, crew_was) != (facts_are, crew_is):
            return None
        # sites whose members see the same in another order share a digest: which of them is told
        # of changes nothing, since members count alike
        days = zip(days_were, self._by_day[spot_is], strict=True)
        return Nearly(found, np.array([was != now for was, now in days], dtype=np.bool_))

    def keep(self, pair: bytes, facts: StageFacts, choices: CrewChoices) -> None:
        """For the next look; not what it was made from, which would keep old looks alive."""
        choices = copy(choices)
        del choices.__dict__["site"], choices.__dict__["facts"]
        self._keep(facts.stage.stage, (choices.crew.name,), pair, choices)

    def _recall(self, stage: str, part: Part, key: bytes) -> Any:
        parts = self._before.get(stage, {})
        before = parts.get(part)
        if before is None or before[0] != key:
            return None
        self._held.setdefault(stage, {}).update(parts if part == () else {part: before})
        return before[1]

    def _keep(self, stage: str, part: Part, key: bytes, value: object) -> None:
        self._held.setdefault(stage, {})[part] = key, value
