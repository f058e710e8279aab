"""Where a form stands in the branch: its stage in words, its steps, and the way back."""

from urllib.parse import urlencode

from crewplan.model.job_rows import Stage
from crewplan.model.work_rows import Step
from crewplan.publishing.kind_words import KIND_WORDS
from crewplan.running.board_view import BoardView
from dashboard.entries.asked import crews_of
from dashboard.entries.in_words import words


def stage_title(view: BoardView, stage: Stage) -> str:
    """'roof work S1 at Household 1'."""
    job = next(row for row in view.branch.jobs if row.job == stage.job)
    return words(
        "{kind} {stage} at {where}",
        kind=words(KIND_WORDS[stage.kind]).lower(),
        stage=stage.stage,
        where=job.customer or job.job,
    )


def steps_of(view: BoardView, stage: Stage) -> tuple[Step, ...]:
    """Steps of the stage's kind, in the table's order."""
    return tuple(step for step in view.branch.steps if step.kind == stage.kind)


def way_back(view: BoardView, stage: str) -> str:
    """The crew's page, where the stage is with one."""
    crews = sorted(crews_of(view, stage))
    return f"/tomorrow?{urlencode({'crew': crews[0]})}" if crews else "/enter"
