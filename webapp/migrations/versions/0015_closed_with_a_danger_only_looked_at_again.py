"""jobs that were closed with a danger that somebody only looked at again are found by it

Revision ID: 0015
Revises: 0014
"""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("job_outcome", sa.Column("left_unsafe", sa.Boolean(), nullable=False, server_default=sa.false()))
    op.create_index(op.f("ix_job_outcome_left_unsafe"), "job_outcome", ["left_unsafe"])
    closed = "closed_at IS NOT NULL AND close_state IN ('waiting_part', 'declined', 'handed_over', 'replaced')"
    op.execute(f"UPDATE job SET fold_version = 0 WHERE {closed}")  # noqa: S608 (a constant of this file)


def downgrade() -> None:
    op.drop_index(op.f("ix_job_outcome_left_unsafe"), table_name="job_outcome")
    op.drop_column("job_outcome", "left_unsafe")
