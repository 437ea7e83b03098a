"""an index: each start asks which jobs an older fold made

The column lies behind the record, up to some 10 kB of JSON a row: without the index the question reads the whole table.

Revision ID: 0006
Revises: 0005
"""

from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_index(op.f("ix_job_fold_version"), "job", ["fold_version"])


def downgrade() -> None:
    op.drop_index(op.f("ix_job_fold_version"), "job")
