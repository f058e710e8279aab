"""Whether the holidays package knows a country, and its state or province."""

from typing import Literal


def unknown_holidays(
    country: str, subdivision: str
) -> tuple[Literal["country", "subdivision"], str] | None:
    """Which of the two is not known, and what was expected; None: both are."""
    import holidays  # heavy, and only needed where a branch or an authority keeps them

    known = holidays.list_supported_countries()
    if country not in known:
        return "country", "a country by its two capital letters, such as US"
    try:
        holidays.country_holidays(country, subdiv=subdivision or None)
    except NotImplementedError:
        such = f", such as {known[country][0]}" if known[country] else ""
        return "subdivision", f"a state or province of {country} with holidays of its own{such}"
    return None
