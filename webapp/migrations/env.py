"""Alembic's environment: it runs on a connection that is handed in (webapp/migrations/run.py)."""

from alembic import context

from webapp.models import Base

context.configure(connection=context.config.attributes["connection"], target_metadata=Base.metadata, compare_type=True)
with context.begin_transaction():
    context.run_migrations()
