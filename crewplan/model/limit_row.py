"""The row of a weather limit."""

from dataclasses import dataclass
from typing import Annotated, Literal

from annotated_types import doc

from crewplan.model.work_rows import Exposure

Measure = Literal[
    "wind",
    "gust",
    "rain",
    "wet",
    "film",
    "frost",
    "temperature_low",
    "temperature_high",
    "heat_index",
    "thunder",
    "light",
]
Effect = Literal["stop", "caution"]

CANONICAL_UNIT: dict[str, str] = {
    "wind": "m/s",
    "gust": "m/s",
    "rain": "mm",
    "wet": "h",
    "film": "mm",
    "frost": "degC",
    "temperature_low": "degC",
    "temperature_high": "degC",
    "heat_index": "degC",
    "thunder": "",
    "light": "",
}
"""Unit of `at_most` once read, by measure."""


@dataclass(frozen=True, slots=True)
class Limit:
    """What one measure may be for work of one exposure, and who says so.

    `at_most` is in `CANONICAL_UNIT` once intake has read it; `unit` keeps the table's own unit for
    people to read. None takes the limit away, which every verdict then names.
    For frost, temperature_low and wet the value is the least that is good. `film` is the water left
    on the roof after rain, worked out from humidity and temperature; it only ever adds to `wet`.
    """

    exposure: Annotated[Exposure, doc("ground, roof or lift; each obeys those before it too")]
    measure: Annotated[Measure, doc("what is compared")]
    at_most: Annotated[
        float | None,
        doc("largest good value (frost, temperature_low, wet: least good); `none`: no limit"),
    ]
    unit: Annotated[
        str, doc("mph, m/s, km/h, kt, mm, in, h, degC, degF; light and thunder: empty")
    ] = ""
    averaging: Annotated[str, doc("averaging time of the value, 3 s or 10 min")] = ""
    height_m: Annotated[float | None, doc("height above ground that the value holds for")] = None
    effect: Annotated[Effect, doc("stop, or caution: shown and not obeyed")] = "stop"
    source: Annotated[str, doc("who says so")] = ""
