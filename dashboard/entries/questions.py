"""What people have asked the board to work out for them alone: one question a person."""

import threading
from dataclasses import dataclass

from crewplan.model.whatif import Wanted
from crewplan.running.looks import Failed, LiveLooks
from crewplan.running.moving import MovedWeek
from crewplan.running.solving import Solving

MOST_AT_ONCE = 2
"""Weeks that are worked out at one time. Assumed: each takes a core."""


@dataclass(slots=True)
class Question:
    """One of them, and its answer when it is there."""

    wanted: Wanted
    solving: Solving[MovedWeek]

    @property
    def answer(self) -> MovedWeek | Failed | None:
        """None while it takes."""
        return self.solving.result()


class Questions:
    """Questions of all who use a board; a new one takes the place of the same person's last."""

    def __init__(self, looks: LiveLooks) -> None:
        """None yet."""
        self._looks, self._by_person = looks, dict[str, Question]()
        self._turn = threading.Lock()

    def of(self, name: str) -> Question | None:
        """The last that somebody asked."""
        with self._turn:
            return self._by_person.get(name)

    def ask(self, name: str, wanted: Wanted) -> bool:
        """Begin to work it out; False: too many others are being worked out."""
        if self._looks.moved is None:
            return False
        with self._turn:
            others = [q for who, q in self._by_person.items() if who != name]
            if sum(one.answer is None for one in others) >= MOST_AT_ONCE:
                return False
            former = self._by_person.pop(name, None)
            if former is not None and former.answer is None:
                former.solving.end()
            self._by_person[name] = Question(wanted, self._looks.moved(wanted))
            return True

    def drop(self, name: str) -> None:
        """Forget it, and end what is being worked out for it."""
        with self._turn:
            former = self._by_person.pop(name, None)
            if former is not None and former.answer is None:
                former.solving.end()

    def take(self, name: str) -> MovedWeek | None:
        """An answer to be published, once; None: there is none, or it was taken already."""
        with self._turn:
            found = self._by_person.get(name)
            answer = found.answer if found is not None else None
            if not isinstance(answer, MovedWeek) or not answer.rows:
                return None
            del self._by_person[name]
            return answer
