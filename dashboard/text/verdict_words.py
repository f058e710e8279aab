"""Words of the verdict, of firm and pencilled, and of what stands on every page."""

from collections.abc import Mapping

from crewplan.model.verdict import Verdict
from crewplan.model.work_rows import Exposure

VERDICT_WORDS: Mapping[Verdict, str] = {"go": "GO", "no-go": "NO-GO", "unknown": "UNKNOWN"}

EXPOSURE_WORDS: Mapping[Exposure, str] = {
    "lift": "Lifting modules",
    "roof": "Work on the roof",
    "ground": "Work on the ground",
}
"""The most exposed first: it is what the question asks about."""

MEASURE_WORDS: Mapping[str, str] = {
    "wind": "mean wind",
    "gust": "gust",
    "rain": "rain in the hour",
    "wet": "hours since rain",
    "film": "water left on the roof",
    "frost": "air for frost",
    "temperature_low": "cold",
    "temperature_high": "heat",
    "heat_index": "heat index",
    "thunder": "thunder",
    "light": "daylight",
}

NOT_FOR_WORK = "Clock set by hand: not for work"
TOO_OLD = "The forecast is too old by now. Treat it as no-go and ask again."
NO_CONNECTION = "The connection to the office's computer is lost: every verdict counts as unknown."
