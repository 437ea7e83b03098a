"""when a heater was left off and when one was put back: jobs overlap, and the later word counts

Revision ID: 0010
Revises: 0009
"""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

ADDED = ("left_off_at", "left_off_heard_at", "put_back_at", "put_back_heard_at")


def upgrade() -> None:
    for name in ADDED:
        op.add_column("job", sa.Column(name, sa.DateTime(timezone=True), nullable=True))
    op.create_index(op.f("ix_job_put_back_at"), "job", ["put_back_at"])
    op.execute("UPDATE job SET fold_version = 0")  # the next start makes their rows anew, these columns with them


def downgrade() -> None:
    op.drop_index(op.f("ix_job_put_back_at"), "job")
    for name in reversed(ADDED):
        op.drop_column("job", name)
