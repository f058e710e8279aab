"""One question or one form of somebody, with all that it takes to answer it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from werkzeug.datastructures import MultiDict

from crewplan.model.account import Act, Actor
from crewplan.model.job_rows import Job, Stage
from crewplan.running.board_view import BoardView
from crewplan.store.connecting import Store
from dashboard.entries.desk import today_of

Values = MultiDict[str, str]
"""What fields hold, by name: as they stand, or as somebody typed them."""


class NotHere(Exception):
    """The address names no stage, job or crew of the branch; the text is one sentence."""


class NotYours(Exception):
    """It is another crew's."""


class BadValues(Exception):
    """What was typed cannot be kept."""

    def __init__(self, faults: Mapping[str, str]) -> None:
        """Keep a sentence for each field."""
        super().__init__("; ".join(faults.values()))
        self.faults = faults


class Odd(Exception):
    """What was typed looks odd: it is kept if somebody says so."""

    def __init__(self, questions: tuple[str, ...]) -> None:
        """Keep a sentence for each question, its first letter large."""
        self.questions = tuple(f"{words[:1].upper()}{words[1:]}" for words in questions)
        super().__init__(" ".join(self.questions))


@dataclass(frozen=True, slots=True)
class Asked:
    """Who asks what of which branch."""

    view: BoardView
    store: Store
    actor: Actor
    args: Mapping[str, str]
    """Of the address: which stage, job, crew, day."""
    now: datetime

    @property
    def today(self) -> date:
        """The branch's day."""
        return today_of(self.view, self.now)

    def stage(self) -> Stage:
        """The stage that the address names.

        Raises:
            NotHere: it names none.
        """
        return stage_of(self.view, self.args.get("stage", ""))

    def job(self) -> Job:
        """The job of the address, or of its stage.

        Raises:
            NotHere: it names none.
        """
        name = self.args.get("job") or self.stage().job
        for row in self.view.branch.jobs:
            if row.job == name:
                return row
        raise NotHere(f"there is no job '{name}' in the branch as the board knows it")

    def hold_rights(self, act: Act, crews: frozenset[str]) -> None:
        """Raise NotYours unless they may do it for one of these crews."""
        mine = self.actor.crews
        if not self.actor.may(act) or (mine is not None and not mine & crews):
            raise NotYours


def stage_of(view: BoardView, name: str) -> Stage:
    """A stage by its name.

    Raises:
        NotHere: there is none.
    """
    for row in view.branch.stages:
        if row.stage == name:
            return row
    raise NotHere(f"there is no stage '{name}' in the branch as the board knows it")


def crews_of(view: BoardView, stage: str) -> frozenset[str]:
    """Crews that a stage is with: by the published plan, and by the one on the board."""
    published = {row.crew for row in view.branch.plan if row.stage == stage}
    planned = {p.placement.crew for p in view.plan.planned if p.placement.stage == stage}
    return frozenset(published | planned)


def day_in(text: str, otherwise: date) -> date:
    """A day of the address, or another where it names none."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return otherwise
