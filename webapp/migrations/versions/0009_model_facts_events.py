"""what was typed of models on site is found without reading any other event

Revision ID: 0009
Revises: 0008
"""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    facts = sa.text("kind IN ('appliance_described', 'sheet_number', 'sheet_confirmed')")
    op.create_index(
        "ix_event_model_facts", "event", ["kind", "received_at", "id"], sqlite_where=facts, postgresql_where=facts
    )


def downgrade() -> None:
    op.drop_index("ix_event_model_facts", "event")
