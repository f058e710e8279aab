"""The engines behind one interface. Solvers are heavy to load, so only the one asked for is."""

from importlib import import_module
from typing import Literal, cast

from crewplan.scheduling.engines.interface import (
    Engine,
    EngineResult,
    NothingFound,
    SoFar,
    SolverName,
)

EngineChoice = Literal["auto", "highs", "cp-sat"]

_WHERE: dict[EngineChoice, tuple[str, str]] = {
    "auto": ("crewplan.scheduling.engines.auto", "auto"),
    "highs": ("crewplan.scheduling.engines.highs", "highs"),
    "cp-sat": ("crewplan.scheduling.engines.cpsat", "cpsat"),
}


def engine(name: EngineChoice) -> Engine:
    """The engine of that name."""
    module, function = _WHERE[name]
    return cast(Engine, getattr(import_module(module), function))


__all__ = [
    "Engine",
    "EngineChoice",
    "EngineResult",
    "NothingFound",
    "SoFar",
    "SolverName",
    "engine",
]
