"""what was changed about people and their phones, and by whom

Revision ID: 0013
Revises: 0012
"""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

SQLITE_TRIGGERS = [
    f"""CREATE TRIGGER person_change_refuses_{verb.lower()} BEFORE {verb} ON person_change
    BEGIN SELECT RAISE(ABORT, 'what was changed is never changed'); END"""
    for verb in ("UPDATE", "DELETE")
]

POSTGRESQL_TRIGGERS = [
    """CREATE TRIGGER person_change_refuses_change BEFORE UPDATE OR DELETE ON person_change
    FOR EACH ROW EXECUTE FUNCTION event_refuses_change()""",
    """CREATE TRIGGER person_change_refuses_truncate BEFORE TRUNCATE ON person_change
    FOR EACH STATEMENT EXECUTE FUNCTION event_refuses_change()""",
]


def upgrade() -> None:
    op.create_table(
        "person_change",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("by_person_id", sa.String(length=36), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("what", sa.String(length=20), nullable=False),
        sa.Column("was", sa.String(length=200), nullable=True),
        sa.Column("became", sa.String(length=200), nullable=True),
        sa.Column("device_id", sa.String(length=36), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_person_change_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person_change")),
    )
    op.create_index(op.f("ix_person_change_person_id"), "person_change", ["person_id"])
    triggers = SQLITE_TRIGGERS if op.get_bind().dialect.name == "sqlite" else POSTGRESQL_TRIGGERS
    for statement in triggers:
        op.execute(statement)


def downgrade() -> None:
    op.drop_table("person_change")
