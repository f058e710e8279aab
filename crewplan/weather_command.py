"""The command `weather`: the forecast from the branch's feed into its weather table."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from crewplan.command_parts import (
    EXIT_NO,
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
    def weather(
        folder: Folder,
        by: By = None,
        learn: Annotated[
            bool,
            typer.Option(
                "--learn", help="Compare kept forecasts with weather_past: forecast_errors.csv."
            ),
        ] = False,
        out: Annotated[
            Path | None,
            typer.Option("--out", metavar="DIR", help="Where forecast_errors.csv goes [FOLDER]."),
        ] = None,
    ) -> None:
        """Fetch the forecast from the feed of branch.toml, keeping the former one."""
        if learn:
            _learn(folder, out)
            return
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
            warn((*fetched.told, *_too_few(len(fetched.table.members), settings.weather_members)))
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


def _too_few(members: int, wanted: int | None) -> tuple[str, ...]:
    """Said where the setting asks for more members than the feed has: all is unknown then."""
    if wanted is None or members >= wanted:
        return ()
    return (
        f"the forecast has {members} of the {wanted} members that weather_members asks for; those "
        "that are missing make every hour unknown",
    )


def _learn(folder: str, out: Path | None) -> None:
    """Write what the branch's kept forecasts were worth."""
    from crewplan.intake.replacing import replace_table
    from crewplan.model.calendar import zone
    from crewplan.model.error_rows import LEAST_PAIRS
    from crewplan.publishing.csv_text import csv_text
    from crewplan.store.cells import cells_for_people, cells_of, columns_of
    from crewplan.store.kept_forecasts import kept_forecasts
    from crewplan.store.place import has_database, is_url
    from crewplan.weather.learning import learn_errors

    branch, _ = read(folder, None)
    if out is None and is_url(folder):
        raise UsageFault("--out says where forecast_errors.csv goes")
    with progress("Comparing forecasts with what came ..."):
        kept = kept_forecasts(folder, branch.settings)
        rows = learn_errors(kept, branch.weather_past, zone(branch.settings))
    if not rows:
        say("No kept forecast has an hour that weather_past tells; nothing was written.")
        raise typer.Exit(EXIT_NO)
    table = "forecast_errors"
    cells = [cells_for_people(table, cells_of(table, row)) for row in rows]
    target = out or Path(folder)
    try:
        replace_table(target, table, csv_text(columns_of(table), cells), datetime.now(UTC))
    except OSError as error:
        raise OutsideFault(f"{target} could not be written ({error.strerror})") from None
    enough = sum(row.pairs >= LEAST_PAIRS for row in rows)
    said = f"{table}.csv is written: {enough} of {len(rows)} rows have {LEAST_PAIRS} hours or more"
    more = "; crewplan import takes it into the database" if has_database(folder) else ""
    say(f"{said} and count{more}.")


def _age_words(age_h: float | None, most_h: float) -> str:
    if age_h is None:
        return "made at a time that it does not tell, so that all of it is unknown"
    words = f"made {age_h:.1f} h ago"
    if age_h < 0:
        return "made after now by its own words, so that it is unknown until then"
    return words if age_h <= most_h else f"{words}, too old for the gate ({most_h:g} h)"
