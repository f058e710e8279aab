"""A stage that would fit with more overtime than is allowed says so, with how much and with whom.

By hand: two people from 7 to 16, half an hour off, no drive: 17 person-hours a day in the shift.
"""

from builders import settings, stage
from one_crew_week import CREW_A, TWO_PEOPLE, WEEK, by_clock, choose, day, left, said

from crewplan.model.people_rows import Certificate, Crew, Person


def told(work_h, overtime_max_h=0.0, days=WEEK[:1], **changes):
    _, found = choose(
        hours={"S1": left(("roof", work_h))},
        settings=settings(overtime_max_h=overtime_max_h),
        days=days,
        **changes,
    )
    return said(found, "overtime")


def could(hours, allowed, crews="A"):
    return [
        (
            f"crew {crews} could with {hours} h of overtime a day; overtime_max_h allows {allowed}",
            day(4),
            day(4),
        )
    ]


def test_the_fewest_half_hours_that_would_do_are_told():
    assert told(18.0) == could("0.5", "0")
    assert told(18.5) == could("1", "0")
    assert told(20.0) == could("1.5", "0")


def test_more_than_is_allowed_is_told_and_what_is_allowed_beside_it():
    assert told(18.0, 0.5) == []
    assert told(20.0, 0.5) == could("1.5", "0.5")
    # in steps of half an hour a day, not half an hour more than the limit
    assert told(20.0, 1.25) == could("1.5", "1.25")


def test_the_day_ends_at_midnight_and_overtime_after_six_hours():
    assert told(29.0) == could("6", "0")
    assert told(29.5) == []
    late_shift = settings(shift_h=14.0, break_h=0.0)  # 7 to 21
    _, found = choose(hours={"S1": left(("roof", 34.0))}, settings=late_shift, days=WEEK[:1])
    assert said(found, "overtime") == could("3", "0")
    _, found = choose(hours={"S1": left(("roof", 34.5))}, settings=late_shift, days=WEEK[:1])
    assert said(found, "overtime") == []


def test_hours_after_the_shift_that_the_weather_shuts_help_nobody():
    assert told(18.0, weather_at=by_clock(lambda _, at: 0 if at.hour >= 16 else 3)) == []
    until_17 = by_clock(lambda _, at: 0 if at.hour >= 17 else 3)
    assert told(19.0, weather_at=until_17) == could("1", "0")
    assert told(19.5, weather_at=until_17) == []


def test_a_morning_that_is_shut_may_be_made_up_for_in_the_evening():
    """The weather takes the starts, and overtime alone would give them back: both are told."""
    from_10 = by_clock(lambda _, at: 3 if at.hour >= 10 else 0)
    _, found = choose(hours={"S1": left(("roof", 13.0))}, days=WEEK[:1], weather_at=from_10)
    assert [kind for kind, *_ in said(found, "weather")] == [
        "roof: P(go) at most 0.00, 0.70 needed"
    ]
    assert said(found, "overtime") == could("1", "0")


def test_a_stage_that_fits_somewhere_says_nothing_of_overtime():
    assert told(18.0, days=WEEK[:2]) == []


def test_only_crews_that_may_do_the_stage_are_named():
    three = (
        *TWO_PEOPLE,
        Person("Ola", "B", "lead", 40.0),
        Person("Pia", "B", "installer", 30.0),
        Person("Rex", "C", "installer", 30.0),
        Person("Sam", "C", "installer", 30.0),
    )
    crews = (CREW_A, Crew("B", 46.8, -92.1), Crew("C", 46.8, -92.1))
    assert told(18.0, people=three, crews=crews) == could("0.5", "0", "A and B")
    asks = {"stages": (stage(certificates=("rope",)),)}
    held = {"certificates": (Certificate("Pia", "rope", None),)}
    assert told(18.0, people=three, crews=crews, **asks, **held) == could("0.5", "0", "B")
    assert told(18.0, people=three, crews=crews, **asks) == []


def test_drives_that_leave_no_time_in_the_shift_may_leave_some_after_it():
    far = (Crew("A", 46.8 + 4.5 * 50 / 1.3 / 111.195, -92.1),)
    assert told(1.5, crews=far) == could("1.5", "0")
