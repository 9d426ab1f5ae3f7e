"""Run the revisions on the connection that `trainer.records.upgrade` hands over, inside its transaction."""

from alembic import context

# transactional_ddl: SQLite can undo table changes, so a cut in the middle leaves the file as it was before.
context.configure(connection=context.config.attributes["connection"], transactional_ddl=True)
context.run_migrations()
