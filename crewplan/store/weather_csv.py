"""A weather table as CSV, times in the branch's own offset."""

import io
from datetime import UTC, datetime, tzinfo
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from crewplan.intake import grammar
from crewplan.model.settings import Settings
from crewplan.model.weather_table import NO_TIME_S, VALUE_COLUMNS, WeatherPlace, WeatherTable
from crewplan.store.cells import columns_of, number_text


def _instants(seconds: NDArray[Any], zone: tzinfo) -> list[str]:
    """ISO 8601 with the zone's offset; UTC where that is no whole number of minutes."""

    def text(second: int) -> str:
        if second == NO_TIME_S:
            return ""
        local = datetime.fromtimestamp(second, zone)
        offset = local.utcoffset()
        whole = offset is not None and offset.total_seconds() % 60 == 0 and local.year >= 1970
        return (local if whole else local.astimezone(UTC)).isoformat()

    distinct, codes = np.unique(seconds, return_inverse=True)
    texts = [text(int(second)) for second in distinct]
    return [texts[code] for code in codes]


def _numbers(values: NDArray[Any]) -> list[str]:
    distinct, codes = np.unique(values, return_inverse=True)
    texts = ["" if np.isnan(value) else number_text(float(value)) for value in distinct]
    return [texts[code] for code in codes]


def _own(place: WeatherPlace, settings: Settings) -> tuple[float, float]:
    """Coordinates that a place has of its own; a place without a name takes the branch's."""
    branch = (settings.latitude, settings.longitude)
    given = (place.latitude, place.longitude)
    return (np.nan, np.nan) if not place.place and given == branch else given


def weather_csv(table: WeatherTable, settings: Settings) -> str:
    """All rows in their order, columns as the dictionary has them."""
    zone = ZoneInfo(settings.timezone)
    places = [grammar.marked(place.place) for place in table.places]
    north, east = np.array([_own(place, settings) for place in table.places]).reshape(-1, 2).T
    members = [grammar.marked(member) for member in table.members]
    columns = {
        "valid_at": _instants(table.valid_s, zone),
        "member": [members[code] for code in table.member_index],
        "issued_at": _instants(table.issued_s, zone),
        "hours": _numbers(table.hours),
        **{name: _numbers(getattr(table, name)) for name in VALUE_COLUMNS},
        "place": [places[code] for code in table.place_index],
        "latitude": _numbers(north[table.place_index]) if places else [],
        "longitude": _numbers(east[table.place_index]) if places else [],
    }
    out = io.StringIO()
    names = list(columns_of("weather"))
    pd.DataFrame(columns, columns=names, dtype=object).to_csv(out, index=False, lineterminator="\n")
    return out.getvalue()
