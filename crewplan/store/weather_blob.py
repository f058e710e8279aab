"""A weather table as one compressed text of bytes.

A forecast is replaced as a whole several times a day and never edited by hand, and has up to
millions of rows: one row of the database each would cost minutes an import, and nothing asks for
a single one.
"""

import hashlib
import io
from dataclasses import fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crewplan.model.weather_table import WeatherPlace, WeatherTable

_WORDS = ("places", "members")
_ARRAYS = tuple(field.name for field in fields(WeatherTable) if field.name not in _WORDS)


def packed(table: WeatherTable) -> bytes:
    """The table as an .npz archive (numpy's own format; nothing in it is ever executed)."""
    out = io.BytesIO()
    np.savez_compressed(
        out,
        place_words=np.array([place.place for place in table.places], dtype=np.str_),
        place_degrees=np.array([(p.latitude, p.longitude) for p in table.places], dtype=np.float64),
        member_words=np.array(table.members, dtype=np.str_),
        **{name: getattr(table, name) for name in _ARRAYS},
    )
    return out.getvalue()


def unpacked(data: bytes) -> WeatherTable:
    """The table that `packed` was given."""
    with np.load(io.BytesIO(data), allow_pickle=False) as kept:
        degrees = kept["place_degrees"].reshape(-1, 2)
        places = tuple(
            WeatherPlace(str(word), float(north), float(east))
            for word, (north, east) in zip(kept["place_words"], degrees, strict=True)
        )
        members = tuple(map(str, kept["member_words"]))
        return WeatherTable(places, members, **{name: kept[name] for name in _ARRAYS})


def _same(values: NDArray[Any]) -> NDArray[Any]:
    """One zero and one kind of NaN."""
    if values.dtype.kind != "f":
        return values
    return np.where(np.isnan(values), np.nan, values + 0.0)


def digest(table: WeatherTable) -> str:
    """SHA-256, in hex, over all values."""
    places = [(p.place, p.latitude + 0.0, p.longitude + 0.0) for p in table.places]
    found = hashlib.sha256(repr((places, table.members)).encode())
    for name in _ARRAYS:
        found.update(np.ascontiguousarray(_same(getattr(table, name))).tobytes())
    return found.hexdigest()
