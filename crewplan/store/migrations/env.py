"""Runs the steps on the connection that the program has open; alembic calls this file."""

from alembic import context

context.configure(connection=context.config.attributes["connection"])
context.run_migrations()
