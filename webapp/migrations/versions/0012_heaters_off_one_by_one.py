"""what was left off, entry by entry, and what put each of them back

Revision ID: 0012
Revises: 0011
"""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "standing_off",
        sa.Column("event_id", sa.String(length=36), nullable=False),
        sa.Column("site_id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("noted_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("heard_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_standing_off_site_id_site")),
        sa.PrimaryKeyConstraint("event_id", name=op.f("pk_standing_off")),
    )
    op.create_index(op.f("ix_standing_off_job_id"), "standing_off", ["job_id"])
    op.create_index(op.f("ix_standing_off_site_id"), "standing_off", ["site_id"])
    op.create_table(
        "put_back_of",
        sa.Column("event_id", sa.String(length=36), nullable=False),
        sa.Column("left_off_id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.PrimaryKeyConstraint("event_id", "left_off_id", name=op.f("pk_put_back_of")),
    )
    op.create_index(op.f("ix_put_back_of_left_off_id"), "put_back_of", ["left_off_id"])
    op.create_index(op.f("ix_put_back_of_job_id"), "put_back_of", ["job_id"])
    op.execute("UPDATE job SET fold_version = 0")  # the next start makes their rows anew, these with them


def downgrade() -> None:
    op.drop_table("put_back_of")
    op.drop_table("standing_off")
