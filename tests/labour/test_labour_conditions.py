import pytest
from builders import package_rows

from crewplan.model.condition import parse_condition


@pytest.mark.parametrize("row", package_rows("factors"), ids=lambda row: row.condition)
def test_every_condition_of_the_package_can_be_read(row):
    assert parse_condition(row.condition).measure


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("pitch>=30", "expected one of storeys"),
        ("covering>=tile", "expected covering= and a word"),
        ("covering=shingel", "expected covering= and one of shingle, tile, metal, slate"),
        ("storeys>=two", "expected a number after storeys>="),
        ("tile", "expected a condition such as"),
        ("storeys>2", "expected a condition such as"),
        ("priority=1", "expected one of storeys"),
        ("pitch_deg>=nan", "expected a number after pitch_deg>="),
    ],
)
def test_a_condition_outside_the_grammar_says_what_was_expected(text, expected):
    with pytest.raises(ValueError, match=expected):
        parse_condition(text)


def test_an_empty_cell_fulfils_no_condition():
    assert not parse_condition("eave_height_m>=4").holds(None)


def test_numbers_may_be_equal_too():
    assert parse_condition("storeys=2").holds(2)
    assert not parse_condition("storeys=2").holds(3)


def test_names_of_modules_may_have_spaces():
    assert parse_condition("module = M 400").value == "M 400"
