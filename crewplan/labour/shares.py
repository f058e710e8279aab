"""How the work of one kind is split between a job's stages of that kind."""

from collections.abc import Iterable

from crewplan.model.job_rows import Stage


def stage_shares(stages: Iterable[Stage]) -> dict[str, float]:
    """Share of the job's steps of its kind, by stage; what is not given is split equally."""
    groups: dict[tuple[str, str], list[Stage]] = {}
    for stage in stages:
        groups.setdefault((stage.job, stage.kind), []).append(stage)
    shares: dict[str, float] = {}
    for group in groups.values():
        rest = max(0.0, 1.0 - sum(stage.share for stage in group if stage.share is not None))
        open_ended = sum(stage.share is None for stage in group)
        for stage in group:
            shares[stage.stage] = rest / open_ended if stage.share is None else stage.share
    return shares
