"""what is owed is found by how it was closed, and since when

Revision ID: 0014
Revises: 0013
"""

from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_index(op.f("ix_job_close_state_closed_at"), "job", ["close_state", "closed_at"])


def downgrade() -> None:
    op.drop_index(op.f("ix_job_close_state_closed_at"), table_name="job")
