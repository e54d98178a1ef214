"""Entry point that the migration library loads. It uses the connection it is given, and nothing else."""

from __future__ import annotations

from alembic import context


def run() -> None:
    """Runs the wanted steps on the given connection, inside the transaction that is already open."""
    connection = context.config.attributes["connection"]
    context.configure(connection=connection, transactional_ddl=True)
    with context.begin_transaction():
        context.run_migrations()


run()
