"""What a crew is sent for, in words."""

from collections.abc import Mapping

from crewplan.model.job_rows import StageKind

KIND_WORDS: Mapping[StageKind, str] = {
    "roof": "Roof work",
    "electrical": "Electrical work",
    "inspection": "Inspection",
    "commissioning": "Commissioning",
    "return": "Return visit",
}
