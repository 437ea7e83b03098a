"""an enrol code remembers the phone that it let in

Revision ID: 0003
Revises: 0002
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("enrol_code", sa.Column("used_by_device_id", sa.String(length=36), nullable=True))


def downgrade() -> None:
    op.drop_column("enrol_code", "used_by_device_id")
