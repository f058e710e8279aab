"""The rows that a share counts: members as they are, or draws of the assumed error around few."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.weather.assumed_error import FEW, SIZES, draws_each, normal_draws, with_error
from crewplan.weather.calibration import NO_RECORD, Record
from crewplan.weather.hour_blocks import FIELDS, HourBlocks


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """R rows by H hours."""

    value: dict[str, NDArray[np.float64]]
    """By field of an hour, [R, H]; NaN where nothing is known."""
    full: dict[str, NDArray[np.bool_]]
    """By field, [R, H]: there for the whole hour, and fresh enough."""
    spare: bool
    """The last row stands for errors beyond all draws: it is never good."""


def as_told(blocks: HourBlocks) -> Rows:
    """Members as they are, without any error."""
    return Rows(blocks.worst, blocks.full, spare=False)


def with_draws(
    blocks: HourBlocks,
    hours_s: NDArray[np.int64],
    *,
    helping: bool,
    record: Record = NO_RECORD,
) -> Rows:
    """Few members, each spread into draws of the assumed error by lead time, and a spare row.

    Every member has the same draws, so that it does not matter which member lacks a value.
    Unless errors are taken to help too (`helping`), what a member tells as out of limits stays
    so in all of its draws, and the share is never over that of the members as told. Where the
    branch has a record of its errors, planning takes those, and a verdict the larger of both.
    """
    members, hours = blocks.lead_h.shape
    each = draws_each(members)
    z = normal_draws(each, hours_s)
    if not helping:
        z = {group: np.maximum(drawn, 0.0) for group, drawn in z.items()}
    value: dict[str, NDArray[np.float64]] = {}
    full: dict[str, NDArray[np.bool_]] = {}
    for field in FIELDS:
        told = blocks.worst[field]
        if field in SIZES:
            drawn = with_error(
                field,
                told[:, None, :],
                z[SIZES[field].group][None, :, :],
                blocks.lead_h[:, None, :],
                whole=True,
            )
            if field in record.errors:
                group = z[SIZES[field].group][None, :, :]
                own = record.drawn(field, told, group, blocks.lead_h, helping=helping)
                drawn = own if helping else np.maximum(drawn, own)
            drawn = drawn.reshape(members * each, hours)
        else:
            drawn = np.repeat(told, each, axis=0)
        value[field] = np.concatenate((drawn, np.full((1, hours), np.nan)))
        there = np.repeat(blocks.full[field], each, axis=0)
        full[field] = np.concatenate((there, np.ones((1, hours), dtype=np.bool_)))
    return Rows(value, full, spare=True)


def widened(blocks: HourBlocks, hours_s: NDArray[np.int64], gate_age_h: float) -> Rows:
    """Members of a full ensemble; those older than the gate allows err more, by their age."""
    old = blocks.age_h > gate_age_h
    if not old.any():
        return as_told(blocks)
    z = normal_draws(len(old), hours_s)
    since_h = np.where(old, blocks.age_h, 0.0)
    value = {
        field: with_error(field, told, z[SIZES[field].group], since_h, whole=False)
        if field in SIZES
        else told
        for field, told in blocks.worst.items()
    }
    return Rows(value, blocks.full, spare=False)


def counted_rows(
    blocks: HourBlocks,
    hours_s: NDArray[np.int64],
    gate_age_h: float,
    *,
    helping: bool,
    record: Record = NO_RECORD,
) -> Rows:
    """The rows of a share by the number of members of the denominator; see `with_draws`.

    Members of a full ensemble are calibrated where the branch has a record of its errors.
    """
    if len(blocks.lead_h) < FEW:
        return with_draws(blocks, hours_s, helping=helping, record=record)
    rows = widened(blocks, hours_s, gate_age_h)
    value = record.calibrated(rows.value, blocks.lead_h, hours_s, helping=helping)
    return Rows(value, rows.full, rows.spare)
