"""Rows that were kept before their table got new columns are read as if those were empty."""

from builders import job

from crewplan.store.cells import cells_of, columns_of, completed, row_of


def test_a_job_from_before_the_wind_factor_has_none():
    old = cells_of("jobs", job())[: columns_of("jobs").index("wind_factor")]
    assert row_of("jobs", completed("jobs", old)) == job()
    assert completed("jobs", old) == cells_of("jobs", job())
