"""One thin command per question. Exit: 0 done, 1 the answer is no, 2 input at fault,
3 something outside failed, 64 the call's words are off. No traceback reaches anybody.
"""

import os
import sys
from collections.abc import Callable
from typing import Annotated, Any, NoReturn

import typer

from crewplan import (
    account_commands,
    board_command,
    calendar_command,
    diff_command,
    evening_command,
    gate_command,
    hours_command,
    plan_command,
    promise_command,
    rates_command,
    ready_command,
    replay_command,
    sheet_command,
    store_commands,
    weather_command,
    whatif_command,
)
from crewplan.command_parts import (
    EXIT_INPUT,
    EXIT_NO,
    EXIT_OUTSIDE,
    EXIT_USAGE,
    Days,
    Engine,
    EngineChoice,
    Folder,
    Format,
    FromDay,
    Now,
    Seconds,
    Shape,
    UsageFault,
    any_letters,
    complain,
    day_of,
    mark_clock,
    print_json,
    progress,
    read,
    read_open,
    say,
    warn,
)

app = typer.Typer(
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    help="Which crew goes to which roof on which day, and whether modules can be lifted.",
)


@app.command()
def check(folder: Folder, now: Now = None, shape: Shape = Format.table) -> None:
    """Report all faults of all tables at once."""
    from crewplan.publishing.check_text import check_summary
    from crewplan.running.pins import pins_that_clash
    from crewplan.store.reading import tables_that_differ

    branch, clock = read(folder, now)
    clash = pins_that_clash(branch, clock)
    warnings = (*branch.warnings, *tables_that_differ(folder), *([clash] if clash else []))
    warn(warnings)
    summary = check_summary(branch)
    if shape is Format.json:
        print_json({"faults": [], "warnings": list(warnings), "rows": summary, "clock": clock.kind})
    elif shape is Format.csv:
        from crewplan.publishing.csv_text import csv_text

        say(csv_text(("table", "rows"), list(summary.items())))
    else:
        counts = ", ".join(f"{rows} {table}" for table, rows in summary.items())
        said = f"{branch.settings.name}: no faults.\n{counts}."
        say(f"{clock.mark}\n{said}" if clock.mark else said)
    mark_clock(clock, shape)


@app.command()
def why(
    folder: Folder,
    stage: Annotated[str, typer.Argument(help="A stage of the folder.")],
    from_day: FromDay = None,
    days: Days = 10,
    engine: Engine = EngineChoice.auto,
    seconds: Seconds = 10,
    now: Now = None,
    shape: Shape = Format.table,
) -> None:
    """Say why a stage is where it is, or why it is left out."""
    from crewplan.publishing.why_text import WHY_COLUMNS, why_cells, why_json, why_text
    from crewplan.running.week import plan_week

    first = day_of(from_day) if from_day else None
    branch, clock = read_open(folder, now, stages=(stage,))
    if stage not in {row.stage for row in branch.stages}:
        raise UsageFault(f"{stage!r} is no stage of {folder}; stages.csv lists them")
    warn(branch.warnings)
    with progress("Looking for the best week ..."):
        week = plan_week(
            branch, clock, first=first, days=days, engine=engine.value, seconds=seconds
        )
        answer = week.why(stage, engine.value, seconds)
    if shape is Format.json:
        print_json(why_json(week.plan.horizon, answer, clock.kind))
    elif shape is Format.csv:
        from crewplan.publishing.csv_text import csv_text

        say(csv_text(WHY_COLUMNS, why_cells(week.plan.horizon, answer)))
    else:
        say(why_text(branch, week.plan.horizon, answer, clock.mark))
    mark_clock(clock, shape)
    if answer.unplaced is not None and answer.unplaced.answer_is_no:
        raise typer.Exit(EXIT_NO)


@app.command()
def tables(shape: Shape = Format.table) -> None:
    """Print every table and column that a branch folder may hold."""
    from crewplan.publishing.dictionary_text import (
        DICTIONARY_COLUMNS,
        dictionary_cells,
        dictionary_json,
        dictionary_text,
    )

    if shape is Format.json:
        print_json(dictionary_json())
    elif shape is Format.csv:
        from crewplan.publishing.csv_text import csv_text

        say(csv_text(DICTIONARY_COLUMNS, dictionary_cells()))
    else:
        say(dictionary_text())


account_commands.register(app)
board_command.register(app)
calendar_command.register(app)
diff_command.register(app)
evening_command.register(app)
gate_command.register(app)
hours_command.register(app)
plan_command.register(app)
promise_command.register(app)
rates_command.register(app)
ready_command.register(app)
replay_command.register(app)
sheet_command.register(app)
store_commands.register(app)
weather_command.register(app)
whatif_command.register(app)


def _fail(sentence: str, code: int) -> NoReturn:
    complain(sentence)
    sys.exit(code)


def _run(call: Callable[[], Any]) -> int:
    """Run a command and turn whatever it raises into one line and an exit code."""
    try:
        code = call()
    except (typer.Abort, KeyboardInterrupt):
        return 130
    except typer.TyperException as error:
        words = getattr(error, "format_message", error.__str__)().replace("Value error, ", "")
        _fail(f"crewplan: {' '.join(words.split())} (see crewplan --help)", EXIT_USAGE)
    except Exception as error:  # the one place that keeps tracebacks from people
        return _failed(error)
    return code if isinstance(code, int) else 0


def _failed(error: Exception) -> int:
    from crewplan.failures import of_its_own, told

    known = told(error)
    if known is None:
        if os.environ.get("CREWPLAN_TRACEBACK"):
            raise error
        _fail(f"crewplan: {of_its_own(error)}", EXIT_OUTSIDE)
    sentences, code = known
    for sentence in sentences:
        # a fault of the tables begins with its file
        complain(sentence if code == EXIT_INPUT else f"crewplan: {sentence}")
    return code


def main() -> None:
    """Entry point of the `crewplan` command."""
    any_letters()
    sys.exit(_run(lambda: app(standalone_mode=False)))


if __name__ == "__main__":
    main()
