"""Runs the steps on the connection that is handed over, inside its transaction."""

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    render_as_batch=True,
    transactional_ddl=False,
)
context.run_migrations()
