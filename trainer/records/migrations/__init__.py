"""The revisions of the records file, run by alembic."""
