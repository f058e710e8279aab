"""Makes the kept answers of this folder: written by us after the feeds' documentation, invented.

Run from the repository: python tests/feeds/answers/make_answers.py
"""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

HERE = Path(__file__).parent
ISSUED = datetime(2026, 5, 3, 21, 0, tzinfo=UTC)
HOURS = 48
PLACE = (46.8, -92.1)


def layer(uom, value, hours=HOURS, step=1, holes=()):
    """Intervals of `step` hours from the issue on."""
    entries = [
        {
            "validTime": f"{(ISSUED + timedelta(hours=at)).isoformat()}/PT{step}H",
            "value": value(at) if callable(value) else value,
        }
        for at in range(0, hours, step)
        if at not in holes
    ]
    told = {"values": entries}
    return {"uom": uom, **told} if uom else told


def sky(word):
    return [{"coverage": "slight_chance" if word else None, "weather": word, "intensity": None}]


def grid(**changes):
    properties = {
        "updateTime": ISSUED.isoformat(),
        "validTimes": f"{ISSUED.isoformat()}/P2D",
        "elevation": {"unitCode": "wmoUnit:m", "value": 430.0},
        "temperature": layer("wmoUnit:degC", 14.0),
        "relativeHumidity": layer("wmoUnit:percent", 50),
        "windSpeed": layer("wmoUnit:km_h-1", 11.112),
        "windGust": layer("wmoUnit:km_h-1", 18.52),
        "quantitativePrecipitation": layer("wmoUnit:mm", 0, step=6),
        "probabilityOfThunder": layer("wmoUnit:percent", 0, step=6),
        "weather": layer("", sky(None), step=6),
        "hazards": {"values": []},
    } | changes
    north, east = PLACE
    corners = [
        [east + x, north + y]
        for x, y in ((-0.016, -0.011), (-0.016, 0.012), (0.016, 0.011), (0.016, -0.012))
    ]
    return {
        "type": "Feature",
        "geometry": {"type": "Polygon", "coordinates": [[*corners, corners[0]]]},
        "properties": properties,
    }


def alert(event, *, onset=6, ends=12, expires=4, **changes):
    at = {
        name: (ISSUED + timedelta(hours=h)).isoformat() if h is not None else None
        for name, h in (("onset", onset), ("ends", ends), ("expires", expires))
    }
    return {
        "type": "Feature",
        "properties": {
            "event": event,
            "status": "Actual",
            "messageType": "Alert",
            "severity": "Moderate",
            "sent": ISSUED.isoformat(),
            "effective": ISSUED.isoformat(),
            **at,
            **changes,
        },
    }


def alerts(*features):
    return {
        "type": "FeatureCollection",
        "title": "active alerts",
        "updated": ISSUED.isoformat(),
        "features": list(features),
    }


VARIABLES = {
    "wind_speed_10m": ("m/s", 3.0),
    "wind_gusts_10m": ("m/s", 5.0),
    "precipitation": ("mm", 0.0),
    "temperature_2m": ("°C", 14.0),
    "relative_humidity_2m": ("%", 50),
    "weather_code": ("wmo code", 1),
}


def ensemble(members=21, hours=HOURS):
    start = int(ISSUED.timestamp())
    hourly = {"time": [start + 3600 * at for at in range(hours + 1)]}
    units = {"time": "unixtime"}
    for name, (unit, value) in VARIABLES.items():
        for member in range(members):
            column = name if not member else f"{name}_member{member:02}"
            units[column] = unit
            hourly[column] = [value] * (hours + 1)
    return {
        "latitude": PLACE[0],
        "longitude": PLACE[1],
        "utc_offset_seconds": 0,
        "timezone": "GMT",
        "elevation": 430.0,
        "hourly_units": units,
        "hourly": hourly,
    }


def local_times_over_a_change_of_clocks():
    """Texts in one offset (-6 h) for the night of 8 March 2026, when Chicago's clocks change."""
    start = datetime(2026, 3, 8, 0, 0, tzinfo=UTC).replace(tzinfo=None)
    told = ensemble(members=1, hours=6)
    told["utc_offset_seconds"] = -21600
    told["timezone"] = "America/Chicago"
    told["hourly_units"]["time"] = "iso8601"
    told["hourly"]["time"] = [
        (start + timedelta(hours=h)).isoformat(timespec="minutes") for h in range(7)
    ]
    return told


ISSUE_S = int(ISSUED.timestamp())
KEPT = {
    "points": {
        "properties": {"gridId": "DLH", "gridX": 94, "gridY": 69, "timeZone": "America/Chicago"}
    },
    "points_moved": {"properties": {"gridId": "DLH", "gridX": 95, "gridY": 70}},
    "grid_calm": grid(),
    "grid_gale": grid(
        windSpeed=layer("wmoUnit:km_h-1", 72.0), windGust=layer("wmoUnit:km_h-1", 97.2)
    ),
    "grid_layers_end_apart": grid(
        windGust=layer("wmoUnit:km_h-1", 18.52, hours=20),
        quantitativePrecipitation=layer("wmoUnit:mm", 0, hours=24, step=6),
    ),
    "grid_gap_in_rain": grid(quantitativePrecipitation=layer("wmoUnit:mm", 0, step=6, holes=(12,))),
    "grid_rain_of_six_hours": grid(
        quantitativePrecipitation=layer("wmoUnit:mm", lambda at: 3.0 if at == 12 else 0.0, step=6)
    ),
    "grid_20_knots": grid(
        windSpeed=layer("wmoUnit:km_h-1", 37.04), windGust=layer("wmoUnit:km_h-1", 46.3)
    ),
    "grid_thunder": grid(
        weather=layer("", lambda at: sky("thunderstorms" if at == 18 else None), step=6)
    ),
    "grid_elsewhere": {
        **grid(),
        "geometry": {
            "type": "Polygon",
            "coordinates": [[[-94.0, 44.0], [-94.0, 44.1], [-93.9, 44.1], [-94.0, 44.0]]],
        },
    },
    "grid_old": grid(updateTime=(ISSUED - timedelta(days=3)).isoformat()),
    "alerts_none": alerts(),
    "alerts_wind": alerts(alert("Wind Advisory")),
    "alerts_storm": alerts(alert("Severe Thunderstorm Watch", ends=None)),
    "alerts_unheard_of": alerts(alert("Volcanic Sneeze Warning")),
    "alerts_for_swimmers": alerts(alert("Rip Current Statement")),
    "alerts_of_a_test": alerts(alert("Tornado Warning", status="Test")),
    "problem": {"type": "about:blank", "title": "Unexpected Problem", "status": 500},
    "ensemble_calm": ensemble(),
    "ensemble_over_a_change_of_clocks": local_times_over_a_change_of_clocks(),
    "ensemble_runs": {
        "last_run_initialisation_time": ISSUE_S - 6 * 3600,
        "last_run_availability_time": ISSUE_S - 1800,
        "update_interval_seconds": 21600,
    },
    "ensemble_error": {"error": True, "reason": "Parameter 'latitude' out of range"},
}

if __name__ == "__main__":
    for name, told in KEPT.items():
        text = json.dumps(told, ensure_ascii=False, separators=(",", ":"))
        (HERE / f"{name}.json").write_text(text + "\n", encoding="utf-8")
