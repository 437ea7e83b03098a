"""heaters put back in service are found without reading any other event

Revision ID: 0007
Revises: 0006
"""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    put_back = sa.text("kind = 'put_back'")
    op.create_index("ix_event_put_back", "event", ["received_at"], sqlite_where=put_back, postgresql_where=put_back)


def downgrade() -> None:
    op.drop_index("ix_event_put_back", "event")
