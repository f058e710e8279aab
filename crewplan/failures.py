"""What went wrong, as sentences for a person and an exit code."""

from crewplan.command_parts import EXIT_INPUT, EXIT_NO, EXIT_OUTSIDE, EXIT_USAGE, UsageFault
from crewplan.command_parts import OutsideFault as _OutsideFault

_OF_ITS_OWN = {  # by module, so that none of them is loaded for a call that does not fail
    "crewplan.store.faults": EXIT_OUTSIDE,
    "crewplan.running.workers": EXIT_OUTSIDE,
}


def told(error: Exception) -> tuple[tuple[str, ...], int] | None:
    """Sentences, each without the program's name, and the exit code; None: a fault of its own."""
    from crewplan.intake import InputFaults
    from crewplan.model.calendar import NoWorkingDay

    if isinstance(error, InputFaults):
        return tuple(fault.sentence() for fault in error.faults), EXIT_INPUT
    if isinstance(error, NoWorkingDay):
        return (f"branch.toml: {error}; see workdays, holidays, closed_on",), EXIT_INPUT
    if isinstance(error, UsageFault):
        return (str(error),), EXIT_USAGE
    if isinstance(error, _OutsideFault):
        return (str(error),), EXIT_OUTSIDE
    if type(error).__module__ in _OF_ITS_OWN:
        from crewplan.store.faults import NotDone

        code = EXIT_NO if isinstance(error, NotDone) else _OF_ITS_OWN[type(error).__module__]
        return (str(error),), code
    return None


def of_its_own(error: Exception) -> str:
    """The sentence about a fault of the program."""
    return (
        f"stopped by a fault of its own ({type(error).__name__}: {' '.join(str(error).split())}); "
        "nothing was written; CREWPLAN_TRACEBACK=1 shows where"
    )
