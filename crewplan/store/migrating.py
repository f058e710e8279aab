"""Brings a database from one form to another, up or down, in one transaction."""

from pathlib import Path

from alembic import command
from alembic.config import Config

from crewplan.store import migrations
from crewplan.store.connecting import Store, refuse_newer, revision_of
from crewplan.store.schema import REVISIONS


def migrate(store: Store, to: str) -> None:
    """Migrate to a form; `base` is an empty database.

    Raises:
        StoreFault: where the database is newer than this program, or fails.
    """
    config = Config()
    config.set_main_option("script_location", str(Path(migrations.__file__).parent))
    config.set_main_option("path_separator", "os")
    with store.write() as connection:
        here = revision_of(connection)  # whoever was first may have done it
        refuse_newer(here, store.place.name)
        config.attributes["connection"] = connection
        order = ("base", *REVISIONS)
        up = order.index(to) > order.index(here or "base")
        (command.upgrade if up else command.downgrade)(config, to)
