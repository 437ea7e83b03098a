"""blowers and controls are among the parts watched for a convicting reading: their jobs' rows are made anew

Revision ID: 0011
Revises: 0010
"""

from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

CHANGED = "SELECT job_id FROM job_outcome WHERE repairs LIKE '%new_blower%' OR repairs LIKE '%new_control%'"


def upgrade() -> None:
    op.execute(f"UPDATE job SET fold_version = 0 WHERE id IN ({CHANGED})")  # noqa: S608 (a constant of this file)


def downgrade() -> None:
    """Nothing to take back: an older program makes the rows as it knows them."""
