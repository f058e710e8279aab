"""A search for a better week, in words."""

from crewplan.running.searching import Searched
from dashboard.text.chances import money_words


def waiting_words() -> str:
    """Asked for, and not begun."""
    return "It begins once the look that is being made now is there."


def _so_far(one: Searched, currency: str) -> list[str]:
    known = one.progress
    if known is None:
        return ["Every place is being priced first; no plan is known yet."]
    saved = one.before_cents - known.price
    said = [f"Best so far: {money_words(known.price, currency)}."]
    if saved > 0:
        said.append(f"That is {money_words(saved, currency)} less than the week on the board.")
    bound = money_words(known.bound, currency)
    said.append(
        f"No plan can cost less than {bound}: at most {known.gap * 100:.2f} % could still be saved."
    )
    return said


def search_sentences(one: Searched, currency: str) -> list[str]:
    """How it stands, the most important first."""
    if one.state == "running":
        head = f"Looking since {one.seconds:.0f} s, for {one.longest_s / 60:g} min at most."
        said = [head, *_so_far(one, currency)]
    elif one.state == "stopping":
        said = ["Stopping: the best plan so far is finished and checked.", *_so_far(one, currency)]
    elif one.state == "better":
        said = ["Found: the week on the board is the better one now. Nothing is published yet."]
    elif one.state == "no better":
        said = ["No better week was found; the board shows the same as before."]
    else:
        said = [f"It did not work: {one.why}.", "The board shows the same as before."]
    if one.entries_since:
        said.append(
            "Something was entered since it began. It is kept, and not in this search: the next"
            " look has it."
        )
    return said
