"""a device's highest number as wide as the numbers themselves

Revision ID: 0002
Revises: 0001
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

# SQLite makes the table anew, and what is not named here is not carried over.
CHECKS = (sa.CheckConstraint("kind IN ('phone', 'office')", name=op.f("ck_device_kind_known")),)


def upgrade() -> None:
    with op.batch_alter_table("device", table_args=CHECKS) as device:
        device.alter_column("last_dev_seq", type_=sa.BigInteger(), existing_type=sa.Integer(), existing_nullable=False)


def downgrade() -> None:
    with op.batch_alter_table("device", table_args=CHECKS) as device:
        device.alter_column("last_dev_seq", type_=sa.Integer(), existing_type=sa.BigInteger(), existing_nullable=False)
