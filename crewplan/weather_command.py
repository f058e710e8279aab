"""The command `weather`: the forecast from the branch's feed into its weather table."""

from datetime import UTC, datetime

import typer

from crewplan.command_parts import (
    By,
    Folder,
    OutsideFault,
    UsageFault,
    person,
    progress,
    read,
    say,
    warn,
)


def register(app: typer.Typer) -> None:
    """Add the command to the program's."""

    @app.command()
    def weather(folder: Folder, by: By = None) -> None:
        """Fetch the forecast from the feed of branch.toml, keeping the former one."""
        from crewplan.intake.feeds import FeedFault, feed_of
        from crewplan.intake.feeds.kinds import host_of
        from crewplan.running.fetching import fetch, places_of, refuse_older
        from crewplan.store.forecasts import cache_of, keep_forecast

        branch, _ = read(folder, None)
        settings = branch.settings
        feed = feed_of(settings)
        if feed is None or settings.feed is None:
            raise UsageFault(
                "branch.toml has no [feed] that can be fetched; the table weather is then yours "
                "to bring"
            )
        warn(feed.terms)
        # forecasts are of the real world, so their age is by the real clock
        now = datetime.now(UTC)
        places = places_of(branch, now)
        try:
            from crewplan.intake.feeds.asking import asker

            ask, end = asker(host_of(settings), settings.feed.contact, cache_of(folder))
            try:
                with progress(f"Asking for the forecast of {len(places)} places ..."):
                    fetched = fetch(feed, ask, places, now)
            finally:
                end()
            refuse_older(fetched.table, branch.weather)
            warn(fetched.told)
            where = keep_forecast(folder, fetched.table, settings, person(by))
        except FeedFault as fault:
            raise OutsideFault(
                f"{fault}; nothing was written, and verdicts rest on the former forecast while it "
                f"is no older than {settings.weather_max_age_h:g} h"
            ) from None
        except OSError as error:
            raise OutsideFault(f"the forecast could not be kept ({error.strerror})") from None
        said = _age_words(fetched.age_h, settings.weather_max_age_h)
        count = "1 place" if fetched.places == 1 else f"{fetched.places} places"
        say(f"Forecast of {count}, {said}: {where}.")


def _age_words(age_h: float | None, most_h: float) -> str:
    if age_h is None:
        return "made at a time that it does not tell, so that all of it is unknown"
    words = f"made {age_h:.1f} h ago"
    if age_h < 0:
        return "made after now by its own words, so that it is unknown until then"
    return words if age_h <= most_h else f"{words}, too old for the gate ({most_h:g} h)"
