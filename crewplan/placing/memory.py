"""What placing found for a stage, kept for the next look at nearly the same branch.

After one event most stages meet most crews under the same facts as before: a sick person changes
one crew, a permit one stage. What was found is taken again where all that it was made from is the
same, held against each other as bytes, so that a doubt only costs time.
"""

import pickle
from collections.abc import Iterable
from copy import copy
from hashlib import blake2b

from crewplan.model.job_rows import Job
from crewplan.model.placement import Placement, StageToPlace
from crewplan.placing.crew_choices import CrewChoices
from crewplan.placing.crew_days import CrewDays
from crewplan.placing.needs.allowed_days import begun
from crewplan.placing.site import Place, Sites
from crewplan.placing.stage_facts import StageFacts

Found = tuple[StageToPlace, list[Placement]]
"""A stage as the scheduler is asked about it, and all its placements."""


def _print(*values: object) -> bytes:
    return blake2b(pickle.dumps(values, protocol=pickle.HIGHEST_PROTOCOL), digest_size=16).digest()


class Memory:
    """Of one look at a time: what the last one did not use is forgotten."""

    def __init__(self) -> None:
        """Nothing is known yet."""
        self._held: dict[tuple[str, str], tuple[bytes, CrewChoices]] = {}
        self._before: dict[tuple[str, str], tuple[bytes, CrewChoices]] = {}
        self._stages: dict[str, tuple[bytes, Found]] = {}
        self._stages_before: dict[str, tuple[bytes, Found]] = {}
        self._site = self._store = b""
        self._crews: dict[str, bytes] = {}
        self._spots: dict[Place, bytes] = {}
        self.recalled = self.made = 0
        """Pairs of stage and crew in this look: taken again, and made anew."""
        self.whole_stages = 0
        """Stages of this look that were taken again whole."""

    def look(self, site: Sites) -> None:
        """A new look begins."""
        known = site.known
        self._before, self._held = self._held, {}
        self._stages_before, self._stages = self._stages, {}
        self._site = _print(
            known.horizon, known.branch.settings, known.branch.equipment, site.shifts
        )
        over = [
            removal.starts for removal in begun(known.branch.settings, known.horizon, known.now)
        ]
        self._store = _print(known.supply, over)
        self._crews = {crew.name: _print(crew) for crew in site.crews}
        self._spots = {}
        self.recalled = self.made = self.whole_stages = 0

    def of(self, site: Sites, facts: StageFacts) -> bytes:
        """What stands for the stage, its site's weather, and all that stages share."""
        job: Job = facts.job
        if job.spot not in self._spots:
            self._spots[job.spot] = _print(site.weather(job))
        return _print(self._site, self._spots[job.spot], facts)

    def whole(self, told: bytes, crews: Iterable[tuple[str, bool]]) -> bytes:
        """What stands for a stage with all crews that it was offered to."""
        asked = ((name, in_one_go, self._crews[name]) for name, in_one_go in crews)
        return _print(told, *asked)

    def recall_stage(self, stage: str, *made_of: object) -> tuple[bytes, Found | None]:
        """What stands for all that it was made from, and what came of it; None: not known."""
        key = _print(self._store, *made_of)
        before = self._stages_before.get(stage)
        if before is None or before[0] != key:
            return key, None
        self._stages[stage] = before
        self.whole_stages += 1
        return key, before[1]

    def keep_stage(self, stage: str, key: bytes, found: Found) -> None:
        """For the next look."""
        self._stages[stage] = key, found

    def recall(self, stage: bytes, facts: StageFacts, crew: CrewDays) -> CrewChoices | None:
        """What was found under the same facts; None: it has to be made."""
        key = facts.stage.stage, crew.name
        before = self._before.get(key)
        if before is None or before[0] != stage + self._crews[crew.name]:
            self.made += 1
            return None
        self._held[key] = before
        self.recalled += 1
        return before[1]

    def keep(self, stage: bytes, facts: StageFacts, choices: CrewChoices) -> None:
        """For the next look; not what it was made from, which would keep old looks alive."""
        name = choices.crew.name
        choices = copy(choices)
        del choices.__dict__["site"], choices.__dict__["facts"]
        self._held[facts.stage.stage, name] = (stage + self._crews[name], choices)
