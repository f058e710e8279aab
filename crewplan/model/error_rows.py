"""What a branch's own kept forecasts have been worth, against the weather that came."""

from dataclasses import dataclass
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, doc

LEAST_PAIRS = 200
"""Hours with a forecast and an observation that a row needs before it counts. Assumed."""


@dataclass(frozen=True, slots=True)
class ForecastError:
    """The error of forecasts of one measure up to a lead time."""

    measure: Annotated[Literal["wind", "gust"], doc("what was forecast")]
    lead_h: Annotated[float, Gt(0), Le(384), doc("hours from issue, up to and including")]
    skill: Annotated[
        float, Ge(0), Le(1), doc("share of a departure from the month's and hour's mean that came")
    ] = 1.0
    sd_mps: Annotated[
        float, Ge(0), Le(30), doc("standard deviation of what came around the forecast so drawn in")
    ] = 0.0
    spread_mps: Annotated[
        float, Ge(0), Le(30), doc("mean standard deviation of the members; 0: one forecast")
    ] = 0.0
    pairs: Annotated[int, Ge(0), doc("hours with both; under 200 the row does not count")] = 0
    source: Annotated[str, doc("which forecasts and observations")] = ""
