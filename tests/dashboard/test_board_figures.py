"""Figures are values in, figure out."""

from board_views import one_job_view

from dashboard.figures.hours_bars import lost_hours, work_and_waiting
from dashboard.figures.wind_by_hour import WindLimit, wind_by_hour
from dashboard.tables.forecast_hours import forecast_hours

MPH = 0.44704


def _figure(limit: WindLimit):
    view = one_job_view()
    lift = view.verdicts[2]
    hours = forecast_hours(view.branch.weather, "north", [hour.hour for hour in lift.hours])
    return wind_by_hour(hours, lift.windows, limit, "us")


def test_the_limit_is_drawn_in_the_readers_unit_over_both_winds() -> None:
    figure = _figure(WindLimit(26 * MPH, 17 * MPH))
    lines = [shape.y0 for shape in figure.layout.shapes if shape.type == "line"]
    assert [round(y, 6) for y in lines] == [26.0, 17.0]
    titles = [note.text for note in figure.layout.annotations]
    assert titles == ["Gust, mph: limit 26, dashed", "Mean wind, mph: limit 17, dashed"]


def test_a_window_is_shaded_and_an_hour_without_wind_is_a_gap() -> None:
    figure = _figure(WindLimit(26 * MPH, 17 * MPH))
    shaded = [shape for shape in figure.layout.shapes if shape.type == "rect"]
    assert len(shaded) == 2  # one window, on both panels
    gust = figure.data[1]
    assert gust.connectgaps is False
    assert gust.y[4] is None


def test_without_a_limit_the_figure_says_so() -> None:
    titles = [note.text for note in _figure(WindLimit(None, None)).layout.annotations]
    assert titles[0] == "Gust, mph: no limit"


def test_no_forecast_at_all_still_makes_a_figure() -> None:
    assert wind_by_hour((), (), WindLimit(None, None), "metric").layout.height > 0


def test_lost_hours_lie_hatched_beside_the_work() -> None:
    figure = work_and_waiting(("Alder",), (16.0,), (1.2,))
    assert [bar.name for bar in figure.data] == ["work", "lost to weather"]
    assert figure.data[1].marker.pattern.shape == "/"
    assert list(lost_hours(("rework",), (3.0,)).data[0].text) == ["3.0 h"]
    assert lost_hours((), ()).layout.height > 0
