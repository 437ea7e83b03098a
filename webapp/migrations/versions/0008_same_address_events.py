"""what was said about two entries being one address is found without reading any other event

Revision ID: 0008
Revises: 0007
"""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    said = sa.text("kind IN ('same_address', 'not_same_address')")
    op.create_index("ix_event_same_address", "event", ["received_at"], sqlite_where=said, postgresql_where=said)


def downgrade() -> None:
    op.drop_index("ix_event_same_address", "event")
