"""a narrow row for each job: what the owner's figures need

Revision ID: 0005
Revises: 0004
"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "job_outcome",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("site_id", sa.String(length=36), nullable=False),
        sa.Column("state", sa.String(length=10), nullable=False),
        sa.Column("brought_in", sa.Boolean(), nullable=False),
        sa.Column("appliance_id", sa.String(length=80), nullable=True),
        sa.Column("procedure_name", sa.String(length=80), nullable=False),
        sa.Column("procedure_hash", sa.String(length=64), nullable=True),
        sa.Column("complaint", sa.String(length=80), nullable=False),
        sa.Column("rung_at_s", sa.BigInteger(), nullable=True),
        sa.Column("closed_at_s", sa.BigInteger(), nullable=True),
        sa.Column("close_state", sa.String(length=30), nullable=True),
        sa.Column("cause", sa.String(length=80), nullable=True),
        sa.Column("repairs", sa.Text(), nullable=False),
        sa.Column("changed_unread", sa.Text(), nullable=False),
        sa.Column("hot_run", sa.String(length=10), nullable=False),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_job_outcome_site_id_site")),
        sa.PrimaryKeyConstraint("job_id", name=op.f("pk_job_outcome")),
    )
    op.create_index(op.f("ix_job_outcome_site_id"), "job_outcome", ["site_id"])
    op.execute("UPDATE job SET fold_version = 0")  # the next start makes their rows anew, this one with them


def downgrade() -> None:
    op.drop_table("job_outcome")
