"""Invented store: modules, rails, packs and prices, what is on hand and what is on order."""

from invented import Row

MODULE_COLUMNS = ("module", "width_mm", "height_mm", "mass_kg", "power_w")
RACKING_COLUMNS = (
    "racking",
    "gap_mm",
    "overhang_mm",
    "max_span_mm",
    "cantilever_mm",
    "rail_mm",
    "tolerance_mm",
    "source",
    "staggered",
    "break_every_mm",
    "least_piece_mm",
    "lag_diameter_mm",
    "lag_thread_mm",
    "attachment_torque_nm",
    "rail_torque_nm",
    "clamp_torque_nm",
    "bonding_torque_nm",
)
STEP_COLUMNS = ("step", "kind", "exposure", "driver", "after", "min_people", "again")
RATE_COLUMNS = ("step", "driver", "hours_per_unit", "spread", "source")
FACTOR_COLUMNS = ("step", "condition", "factor", "source")
LIMIT_COLUMNS = (
    "exposure",
    "measure",
    "at_most",
    "unit",
    "averaging",
    "height_m",
    "effect",
    "source",
)
ITEM_COLUMNS = ("item", "takeoff_item", "pack", "unit_cost", "substitutes")
STOCK_COLUMNS = ("item", "on_hand")
ARRIVAL_COLUMNS = ("item", "quantity", "expected_on", "supplier", "promised_on", "arrived_on")
EQUIPMENT_COLUMNS = ("equipment", "quantity", "cost_per_day", "service_due_on", "in_service")

MODULES = (("M400", 1134, 1722, 21.5, 400), ("M430", 1134, 1762, 22.0, 430))
RACKING = (
    (
        "yard_rail",
        6,
        40,
        1220,
        406,
        4270,
        60,
        "invented",
        "no",
        12200,
        300,
        7.9,
        64,
        18,
        16,
        12,
        10,
    ),
)

STEPS = (("hand_over", "commissioning", "ground", "visit", "production_check", 1, ""),)
"""The branch's own step, besides the package's."""
RATES = (("hand_over", "visit", 0.5, 0.3, "invented"),)
FACTORS = (("unload_and_prepare", "storeys>=3", 1.2, "invented: three-storey sites"),)
LIMITS = (
    ("lift", "gust", 21, "mph", "3 s", 10, "caution", "invented: talk before lifting"),
    ("roof", "gust", 34, "mph", "3 s", 10, "stop", "invented: a little under the package's"),
)

# item, the take-off's word, pieces in a pack, price of a pack, packs on hand
ITEMS = (
    ("M400", "module", 1, 118.0, 420),
    ("M430", "module", 1, 134.0, 0),
    ("roof foot", "attachment", 20, 96.0, 62),
    ("tile hook", "tile hook", 20, 168.0, 30),
    ("slate hook", "slate hook", 20, 190.0, 4),
    ("seam clamp", "seam clamp", 20, 128.0, 60),
    ("flashing plate", "flashing", 20, 74.0, 60),
    ("tile flashing", "tile flashing", 20, 122.0, 30),
    ("lag bolt", "lag", 50, 41.0, 30),
    ("yard rail 4270", "rail", 1, 38.0, 360),
    ("rail splice", "splice", 10, 42.0, 40),
    ("mid clamp", "mid clamp", 25, 55.0, 60),
    ("end clamp", "end clamp", 20, 48.0, 24),
    ("microinverter", "microinverter", 1, 141.0, 520),
    ("roof lead", "lead", 1, 11.0, 560),
    ("wire clip", "wire clip", 100, 19.0, 40),
    ("bonding lug", "bonding lug", 10, 33.0, 30),
)
ARRIVALS = (
    # what came: each on the day that was promised
    *(
        ("M400", 60, day, "Tallowick Supply", day, day)
        for day in ("2026-02-12", "2026-03-05", "2026-03-26", "2026-04-16")
    ),
    (
        "M430",
        18,
        "2026-05-07",
        "Tallowick Supply",
        "",
        "",
    ),  # on the Thursday, enough for one of two jobs
    ("M400", 120, "2026-05-08", "Tallowick Supply", "", ""),
    ("M430", 18, "2026-05-21", "Tallowick Supply", "", ""),
    ("end clamp", 12, "2026-05-12", "Brindlemoor Fixings", "", ""),
    ("roof foot", 12, "2026-05-12", "Brindlemoor Fixings", "", ""),
)
EQUIPMENT = (
    ("boom", 1, 380.0, "2026-09-30", ""),
    ("conveyor", 2, 60.0, "", "2026-06-01..2026-06-02"),
    ("hoist", 1, 45.0, "", ""),
)


def _rows(columns: tuple[str, ...], values: tuple[tuple[object, ...], ...]) -> list[Row]:
    return [dict(zip(columns, row, strict=True)) for row in values]


def tables() -> dict[str, tuple[tuple[str, ...], list[Row]]]:
    """Columns and rows of all tables of this file, by name."""
    items = tuple((*row[:4], "") for row in ITEMS)
    stock = tuple((row[0], row[4]) for row in ITEMS)
    return {
        "modules": (MODULE_COLUMNS, _rows(MODULE_COLUMNS, MODULES)),
        "racking": (RACKING_COLUMNS, _rows(RACKING_COLUMNS, RACKING)),
        "steps": (STEP_COLUMNS, _rows(STEP_COLUMNS, STEPS)),
        "rates": (RATE_COLUMNS, _rows(RATE_COLUMNS, RATES)),
        "factors": (FACTOR_COLUMNS, _rows(FACTOR_COLUMNS, FACTORS)),
        "limits": (LIMIT_COLUMNS, _rows(LIMIT_COLUMNS, LIMITS)),
        "items": (ITEM_COLUMNS, _rows(ITEM_COLUMNS, items)),
        "stock": (STOCK_COLUMNS, _rows(STOCK_COLUMNS, stock)),
        "arrivals": (ARRIVAL_COLUMNS, _rows(ARRIVAL_COLUMNS, ARRIVALS)),
        "equipment": (EQUIPMENT_COLUMNS, _rows(EQUIPMENT_COLUMNS, EQUIPMENT)),
    }
