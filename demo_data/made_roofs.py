"""Invented roof planes: rows of modules, pitch, covering, rafters and, for some, their size."""

import numpy as np
from invented import AUTHORITIES, Row

PLANE_COLUMNS = (
    "job",
    "plane",
    "racking",
    "rows",
    "orientation",
    "module",
    "pitch_deg",
    "eave_height_m",
    "covering",
    "rafter_spacing_mm",
    "unevenness_mm",
    "width_mm",
    "slope_mm",
    "array_left_mm",
    "array_up_mm",
    "first_rafter_mm",
    "row_orientations",
    "row_left_mm",
    "uplift_pa",
    "rafter_gravity",
)
ROWS = (
    ("7;7",),
    ("8;8",),
    ("7;7;5",),
    ("6;6;6",),
    ("9;9",),
    ("8;6;4",),
    ("10;10",),
    ("7;7", "6"),
    ("8;8", "5"),
    ("6;6", "4;4"),
    ("8;8;8",),
)
PLANE_NAMES = ("south", "west")
MODULE_MM = {"M400": (1134, 1722, 400), "M430": (1134, 1762, 430)}
RACKING = "yard_rail"
GAP_MM, OVERHANG_MM, CANTILEVER_MM = 6.0, 40.0, 406
SETBACK_MM = {AUTHORITIES[0]: (457, 914), AUTHORITIES[1]: (300, 600), AUTHORITIES[2]: (457, 914)}
"""Ridge and edge, by authority."""
UPLIFT_PA = {"J01": 2900}
"""By job, else 1200: of the first one the letter has to say more."""


def rafters(rng: np.random.Generator, spacing: int, length: float, even: bool) -> tuple[int, int]:
    """Rafter spacing, and how far right of the rail's left end one lies (mm).

    Where rows differ or both ends cannot be near a rafter 610 mm apart, rafters are closer.
    """
    near = CANTILEVER_MM - 60
    fits = [at for at in range(60, near, 10) if (length - at) % spacing <= near]
    if not even or not fits:
        return 406, int(rng.integers(60, 346))
    return spacing, int(rng.choice(fits))


def roof(rng: np.random.Generator, job: str, story: Row, authority: str) -> list[Row]:
    """One or two roof planes; every other job knows its plane's size."""
    patterns = story.get("rows", ROWS[int(rng.integers(len(ROWS)))])
    pitch = float(rng.choice([18.4, 22.6, 26.6, 26.6, 30.3, 33.7]))
    covering = str(rng.choice(["shingle"] * 7 + ["metal"] * 2 + ["tile"]))
    spacing = int(rng.choice([610, 610, 406]))
    module = str(story.get("module", "M400"))
    width, height, _ = MODULE_MM[module]
    ridge, edge = SETBACK_MM[authority]
    measured = rng.random() < 0.5
    rows: list[Row] = []
    for name, pattern in zip(PLANE_NAMES, patterns, strict=False):
        counts = [int(n) for n in pattern.split(";")]
        row: Row = {
            "job": job,
            "plane": name,
            "racking": RACKING,
            "rows": pattern,
            "orientation": "portrait",
            "module": module,
            "pitch_deg": pitch,
            "eave_height_m": round(2.7 * int(story["storeys"]) + float(rng.random()), 1),
            "covering": covering,
            "rafter_spacing_mm": spacing,
            "unevenness_mm": int(rng.integers(0, 13)),
        }
        if measured:
            length = max(counts) * width + (max(counts) - 1) * GAP_MM + 2 * OVERHANG_MM
            spare = int(rng.integers(400, 1500))
            spacing, to_rafter = rafters(rng, spacing, length, len(set(counts)) == 1)
            row |= {
                "rafter_spacing_mm": spacing,
                "width_mm": int(np.ceil(length)) + 2 * edge + spare,
                "slope_mm": len(counts) * height + ridge + 300 + int(rng.integers(250, 900)),
                "array_left_mm": edge + spare // 2,
                "array_up_mm": 300,
                "first_rafter_mm": (edge + spare // 2 + to_rafter) % spacing,
                "uplift_pa": UPLIFT_PA.get(job, 1200),
                "rafter_gravity": 0.42,
            }
        rows.append(row)
    return rows
