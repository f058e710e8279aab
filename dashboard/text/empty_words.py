"""What a board says that has nothing to show yet: of a folder's tables, or of a database."""

from dash import html

from crewplan.running.board_view import BoardView


def where(view: BoardView) -> str:
    """'this folder', or 'this database' where the board follows one."""
    return "this database" if view.version else "this folder"


def how_to_add(view: BoardView, tables: str) -> str:
    """What to do, in one sentence."""
    if view.version:
        return (
            f"Bring rows of the tables {tables} with 'New tables' above, or by crewplan import:"
            " this page follows by itself."
        )
    return f"Add rows to the tables {tables}, and start the board again."


def empty_words(view: BoardView, so: str, tables: str = "jobs, planes and stages") -> list[html.P]:
    """No jobs: what that means for the page, and what to do."""
    return [
        html.P(f"There are no jobs in {where(view)} yet, {so}.", className="lead"),
        html.P(how_to_add(view, tables)),
    ]
