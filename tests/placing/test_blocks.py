"""Which steps may be walked as one; orders by hand."""

from crewplan.model.hours import StageHours, StepHours
from crewplan.placing.blocks import Block, blocks_of


def blocks(*steps):
    rows = tuple(StepHours(name, e, after, hours, 0.3, 1, "") for name, e, hours, after in steps)
    return blocks_of(StageHours("S1", rows, 0.0, 0.0, 0.0, 0.0, 0.3, False, False))


def test_a_chain_on_the_roof_is_one_piece_of_work():
    assert blocks(("mark", "roof", 2.0, ()), ("rails", "roof", 3.0, ("mark",))) == (
        Block(2, 5.0, 0),
    )


def test_a_change_of_exposure_ends_the_chain():
    found = blocks(("rails", "roof", 2.0, ()), ("lift", "lift", 3.0, ("rails",)))
    assert found == (Block(2, 2.0, 0), Block(3, 3.0, 1))


def test_another_step_of_the_same_exposure_in_between_keeps_the_table_order():
    # mark, then flash, then rails: merging mark and rails would do flash last
    found = blocks(
        ("mark", "roof", 1.0, ()), ("flash", "roof", 2.0, ()), ("rails", "roof", 3.0, ("mark",))
    )
    assert found == (Block(2, 1.0, 0), Block(2, 2.0, 0), Block(2, 3.0, 1))


def test_a_step_without_hours_hands_its_forerunners_on():
    found = blocks(
        ("rails", "roof", 2.0, ()),
        ("wait", "ground", 0.0, ("rails",)),
        ("lift", "lift", 3.0, ("wait",)),
    )
    assert found == (Block(2, 2.0, 0), Block(3, 3.0, 1))


def test_the_roof_stage_of_the_package_is_five_pieces():
    found = blocks(
        ("unload", "ground", 1.0, ()),
        ("protect", "roof", 1.0, ()),
        ("rails", "roof", 1.0, ("protect",)),
        ("lift", "lift", 1.0, ("unload", "rails")),
        ("set", "lift", 1.0, ("lift",)),
        ("torque", "roof", 1.0, ("set",)),
        ("clear", "ground", 1.0, ("torque",)),
    )
    assert [(b.exposure, b.work_h) for b in found] == [(1, 1), (2, 2), (3, 2), (2, 1), (1, 1)]
