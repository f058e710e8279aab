"""The board's view with only some crews in it, and no money: what a lead may know.

What is not theirs is taken out here, before any page sees it, so that no page can let it slip. Each
field of the branch and of the view says what stays of it; one that says nothing stops the answer.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar

from crewplan.model.branch import Branch
from crewplan.model.hours_so_far import HoursSoFar
from crewplan.model.lent import LentDay
from crewplan.model.parts import without_price
from crewplan.model.plan import Plan, Planned
from crewplan.model.standby import Standby
from crewplan.running.board_view import BoardView

Row = TypeVar("Row")

MONEY_COLUMNS = frozenset({"cost_per_h", "price", "unit_cost", "cost_per_day"})
"""Every column of a table that holds money."""
_PRICES = ("other_crew_cost", "uneven_hour_cost", "open_day_cost")
"""Settings that are money and have no 'none'."""


@dataclass(frozen=True, slots=True)
class _Theirs:
    """What belongs to these crews."""

    crews: frozenset[str]
    people: frozenset[str]
    stages: frozenset[str]
    """Placed or published with them, or their standby."""
    jobs: frozenset[str]


def _theirs(view: BoardView, crews: frozenset[str]) -> _Theirs:
    branch = view.branch
    placed = {p.placement.stage for p in view.plan.planned if p.placement.crew in crews}
    published = {row.stage for row in branch.plan if row.crew in crews}
    instead = {
        one.placement.stage
        for one in view.plan.standby
        if one.crew in crews and one.placement is not None
    }
    stages = frozenset(placed | published | instead)
    return _Theirs(
        crews,
        frozenset(person.person for person in branch.people if person.crew in crews),
        stages,
        frozenset(stage.job for stage in branch.stages if stage.stage in stages),
    )


def without_money(row: Row) -> Row:
    """A row of a table with all that is money set to nothing."""
    names = [each.name for each in fields(row) if each.name in MONEY_COLUMNS]  # type: ignore[arg-type]
    return replace(row, **dict.fromkeys(names, 0.0)) if names else row  # type: ignore[type-var]


def _all(rows: Any, _own: _Theirs) -> Any:
    return rows


def _none(_rows: Any, _own: _Theirs) -> Any:
    return ()


def _named(column: str, group: str) -> Callable[[Any, _Theirs], Any]:
    """The rows whose column names something of theirs."""

    def kept(rows: Any, own: _Theirs) -> Any:
        wanted = getattr(own, group)
        return tuple(without_money(row) for row in rows if getattr(row, column) in wanted)

    return kept


def _priceless(rows: Any, _own: _Theirs) -> Any:
    return tuple(without_money(row) for row in rows)


def _without_prices(settings: Any, _own: _Theirs) -> Any:
    """No price of planning, and nothing of the feed, whose key is a secret."""
    return replace(
        settings,
        feed=None,
        lending_cost_per_day=None,
        crew_lent_per_day=None,
        **dict.fromkeys(_PRICES, 0.0),
    )


_BRANCH: Mapping[str, Callable[[Any, _Theirs], Any]] = {
    "settings": _without_prices,
    "present": _all,
    "people": _named("crew", "crews"),
    "crews": _named("crew", "crews"),
    "jobs": _named("job", "jobs"),
    "planes": _named("job", "jobs"),
    "stages": _named("job", "jobs"),
    "requirements": _named("job", "jobs"),
    "weather": _all,
    "weather_past": _all,
    "forecast_errors": _all,
    "modules": _all,
    "racking": _all,
    "steps": _all,
    "rates": _all,
    "factors": _all,
    "package_limits": _all,
    "limits": _all,
    "certificates": _named("person", "people"),
    "absences": _named("person", "people"),
    "lead_times": _none,
    "inspections": _none,
    "authorities": _all,
    "items": _priceless,
    "stock": _none,
    "arrivals": _none,
    "equipment": _priceless,
    "hours_worked": _named("person", "people"),
    "progress": _named("stage", "stages"),
    "plan": _named("stage", "stages"),
    "warnings": _none,
    "finished": _none,
}


def _branch(branch: Branch, own: _Theirs) -> Branch:
    kept = {f.name: _BRANCH[f.name](getattr(branch, f.name), own) for f in fields(Branch)}
    return Branch(**kept)


def _planned(row: Planned) -> Planned:
    # why it moved may name other crews' stages
    return replace(row, placement=without_price(row.placement), left_its_place=())


def _standby(row: Standby) -> Standby:
    placement = None if row.placement is None else without_price(row.placement)
    return replace(row, placement=placement, cents=0)


def _plan(plan: Plan, own: _Theirs) -> Plan:
    return Plan(
        horizon=plan.horizon,
        objective=0,
        bound=0,
        engine=plan.engine,
        rule_of_thumb=0,
        parts={},
        planned=tuple(_planned(p) for p in plan.planned if p.placement.crew in own.crews),
        unplaced=(),
        pin_clash=None,
        done=tuple(stage for stage in plan.done if stage in own.stages),
        standby=tuple(_standby(one) for one in plan.standby if one.crew in own.crews),
    )


def _worked(worked: Callable[[], HoursSoFar], own: _Theirs) -> Callable[[], HoursSoFar]:
    """Hours of their own people, and on their own stages."""

    def theirs() -> HoursSoFar:
        whole = worked()
        return HoursSoFar(
            {key: micro_h for key, micro_h in whole.of_stages.items() if key[0] in own.stages},
            {key: micro_h for key, micro_h in whole.of_people.items() if key[0] in own.people},
        )

    return theirs


def _of_stages(by_stage: Mapping[str, Any], own: _Theirs) -> Any:
    return {stage: value for stage, value in by_stage.items() if stage in own.stages}


def _of_jobs(by_job: Mapping[str, Any], own: _Theirs) -> Any:
    return {job: value for job, value in by_job.items() if job in own.jobs}


def _lent(lent: tuple[LentDay, ...], own: _Theirs) -> tuple[LentDay, ...]:
    """Who comes to them and who leaves them, with the other crew's name and none of its stages."""

    def theirs(names: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(name for name in names if name in own.stages)

    return tuple(
        replace(one, stages=theirs(one.stages), without=theirs(one.without))
        for one in lent
        if {one.home, one.crew} & own.crews
    )


def _verdicts(verdicts: Any, own: _Theirs) -> Any:
    return tuple(one for one in verdicts if not one.stage or one.stage in own.stages)


_VIEW: Mapping[str, Callable[[Any, _Theirs], Any]] = {
    "branch": _branch,
    "plan": _plan,
    "gate_day": _all,
    "verdicts": _verdicts,
    "limits": _all,
    "takeoffs": _of_jobs,
    "hours": _of_stages,
    "asked_at": _all,
    "clock": _all,
    "chances_void_after": _all,
    "lent": _lent,
    "version": _all,
    "warnings": _none,
    "worked": _worked,
}


def own_view(view: BoardView, crews: frozenset[str]) -> BoardView:
    """What these crews' lead may know of a view."""
    own = _theirs(view, crews)
    return BoardView(**{f.name: _VIEW[f.name](getattr(view, f.name), own) for f in fields(view)})
