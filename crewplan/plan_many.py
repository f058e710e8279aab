"""`crewplan plan` of several branches: each answer as it comes, then what is published."""

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, ExitStack, nullcontext
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from crewplan.command_parts import (
    EXIT_INPUT,
    EXIT_NO,
    EXIT_OUTSIDE,
    Format,
    complain,
    mark_clock,
    person,
    read_open,
    say,
)
from crewplan.failures import of_its_own, told

if TYPE_CHECKING:
    from crewplan.model.branch import Branch
    from crewplan.model.loan import Loan
    from crewplan.model.plan import Plan
    from crewplan.running.branch_task import Asked, Made
    from crewplan.running.clock import Clock
    from crewplan.running.workers import Call, Workers
    from crewplan.store.publisher import Publish

_A_BRANCH_S = 60.0
"""What a branch takes where its search is not held to the clock (assumed): a lease's length."""
_WORST_FIRST = (EXIT_OUTSIDE, EXIT_INPUT, EXIT_NO)


@dataclass(frozen=True, slots=True)
class Where:
    """Who does the work."""

    cluster: str | None = None
    """`local`, an address, or None: this process."""
    workers: int | None = None

    def workers_there(self) -> "AbstractContextManager[Workers]":
        """Whoever does it, for as long as the context lasts."""
        if self.cluster is None:
            from crewplan.running.workers import OneAfterAnother

            return nullcontext(OneAfterAnother())
        from crewplan.running.cluster import cluster

        return cluster(self.cluster, self.workers)


@dataclass(slots=True)
class _Run:
    """What is known while it runs."""

    folders: Sequence[str]
    shape: Format
    read: "dict[str, tuple[Branch, Clock]]" = field(default_factory=dict)
    made: "dict[str, Made]" = field(default_factory=dict)
    codes: set[int] = field(default_factory=set)
    told: int = 0

    def fail(self, folder: str, error: Exception) -> None:
        """Tell what kept a branch from being planned."""
        known = told(error) or ((of_its_own(error),), EXIT_OUTSIDE)
        self.codes.add(known[1])
        for sentence in known[0]:
            complain(f"{folder}: {sentence}")
        if self.shape is Format.json:
            _json_line({"folder": folder, "faults": list(known[0])})
        self.count(folder, "not planned")

    def count(self, folder: str, words: str) -> None:
        """How far it is."""
        self.told += 1
        complain(f"{self.told} of {len(self.folders)}: {folder}: {words}")

    def calls(self, by_hand: str | None, asked: "Asked") -> "Iterator[Call]":
        """Read each branch when there is somebody to plan it."""
        from crewplan.running.branch_task import lean, plan_branch
        from crewplan.running.workers import Call

        for folder in self.folders:
            try:
                branch, clock = read_open(folder, by_hand)
            except Exception as error:  # one folder's trouble must not end the others
                self.fail(folder, error)
                continue
            for warning in branch.warnings:
                complain(f"warning: {folder}: {warning}")
            self.read[folder] = (branch, clock)
            yield Call(folder, plan_branch, (lean(branch), clock, asked))

    def answer(self, folder: str, made: "Made", loans: "Sequence[Loan]" = ()) -> None:
        """Print one branch's plan; `loans`: the crews that come from neighbours for it."""
        from crewplan.publishing.loans import loan_json, loan_text
        from crewplan.publishing.plan_json import plan_json
        from crewplan.publishing.plan_text import plan_text

        (branch, clock), plan = self.read[folder], made.plan
        if self.shape is Format.json:
            told = {"folder": folder, "plan": plan_json(plan, clock.kind)}
            _json_line(told | {"borrowed": [loan_json(loan) for loan in loans]})
        elif self.shape is Format.csv:
            self._csv(folder, branch, plan)
        else:
            lines = [folder, plan_text(branch, plan, clock.mark)]
            lines += [loan_text(loan, branch.settings.currency) for loan in loans]
            say("\n".join(lines) + "\n")
        mark_clock(clock, self.shape)
        self.made[folder] = made
        if any(out.answer_is_no for out in plan.unplaced):
            self.codes.add(EXIT_NO)
        self.count(folder, f"{len(plan.planned)} stages placed, {len(plan.unplaced)} left out")

    def _csv(self, folder: str, branch: "Branch", plan: "Plan") -> None:
        from crewplan.intake.published import PLAN_COLUMNS, plan_csv
        from crewplan.publishing.csv_text import csv_text
        from crewplan.publishing.plan_rows import plan_rows

        header = csv_text(("folder", *PLAN_COLUMNS), ())
        name = csv_text((folder,), ()).removesuffix("\n")
        _, *lines = plan_csv(plan_rows(plan, branch.plan)).splitlines()
        rows = "".join(f"{name},{line}\n" for line in lines)
        if text := rows if self.made else header + rows:
            say(text)

    def lend(self, waiting: "Mapping[str, Made]", asked: "Asked", workers: "Workers") -> None:
        """Let neighbours lend each other crews, then print their plans."""
        from crewplan.running.branch_task import lean
        from crewplan.running.crew_loans import Member, lend

        names = Counter(branch.settings.name for branch, _ in self.read.values())
        members = {}
        for folder, made in waiting.items():
            branch, clock = self.read[folder]
            own = branch.settings.name
            name = own if names[own] == 1 else f"{own} ({folder})"
            members[folder] = Member(folder, name, lean(branch), clock, made)
        lent = lend(members, asked, workers)
        for folder, error in lent.errors.items():
            known = told(error) or ((of_its_own(error),), EXIT_OUTSIDE)
            self.codes.add(known[1])
            complain(f"{folder}: planned without crews of neighbours: {'; '.join(known[0])}")
        for folder, made in waiting.items():
            borrowed = lent.borrowed.get(folder)
            if borrowed is None:
                self.answer(folder, made)
            else:
                self.answer(folder, borrowed.made, borrowed.loans)

    def publish(self, put: "Mapping[str, Publish]") -> None:
        """Publish all, or nothing where a branch has no plan."""
        from crewplan.publishing.plan_rows import plan_rows
        from crewplan.running.expecting import expectations

        if len(self.made) < len(self.folders):
            complain("Nothing was published, since not every branch has a plan.")
            return
        for folder, made in self.made.items():
            branch, clock = self.read[folder]
            expected = expectations(made.plan, branch.settings, made.hours)
            try:
                done = put[folder](plan_rows(made.plan, branch.plan), clock.now, expected)
            except Exception as error:  # the others' plans are good
                known = told(error) or ((of_its_own(error),), EXIT_OUTSIDE)
                self.codes.add(known[1])
                complain(f"{folder}: not published: {'; '.join(known[0])}")
                continue
            number = "" if done is None else f" as plan {done.number} (version {done.version})"
            for sentence in () if done is None else done.flagged:
                complain(f"warning: {folder}: {sentence}")
            complain(f"{folder}: published{number}.")


def _json_line(value: dict[str, Any]) -> None:
    say(json.dumps(value, ensure_ascii=False, allow_nan=False))


def plan_many(
    folders: Sequence[str],
    asked: "Asked",
    where: Where,
    *,
    by: str | None,
    by_hand: str | None,
    shape: Format,
) -> int:
    """Plan several branches, print each as it comes; the exit code.

    Args:
        folders: folders or addresses of databases, each once.
        asked: of each of them; all are published where it says so and each has a plan. No crew is
            lent for a plan that is published: its own tables know only its own crews.
        where: who does the work.
        by: who publishes.
        by_hand: the clock, as `--now` says.
        shape: how plans are printed; JSON is one document a line.
    """
    from crewplan.running.crew_loans import takes_part
    from crewplan.store.publisher import publisher

    run = _Run(folders, shape)
    with ExitStack() as stack:
        put = {}
        if asked.publishing:
            seconds = len(folders) * (asked.seconds if asked.steps is None else _A_BRANCH_S)
            for folder in folders:
                put[folder] = stack.enter_context(publisher(folder, person(by), seconds))
        workers = stack.enter_context(where.workers_there())
        waiting: dict[str, Made] = {}
        for done in workers.run(run.calls(by_hand, asked)):
            if done.error is not None:
                run.fail(done.key, done.error)
            elif takes_part(run.read[done.key][0]) and not asked.publishing:
                waiting[done.key] = done.value
                complain(f"{done.key}: planned alone; waits for what its neighbours can lend")
            else:
                run.answer(done.key, done.value)
        run.lend(
            {folder: waiting[folder] for folder in folders if folder in waiting}, asked, workers
        )
        if asked.publishing:
            run.publish(put)
    return next((code for code in _WORST_FIRST if code in run.codes), 0)
