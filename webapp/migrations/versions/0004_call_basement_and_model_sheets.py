"""the call, who is below ground, heaters left off, licences, model sheets, the company's choices

Revision ID: 0004
Revises: 0003
"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("job", sa.Column("due_out_wall", sa.String(length=40), nullable=True))
    op.add_column("job", sa.Column("ring_phone", sa.String(length=40), nullable=True))
    op.add_column("job", sa.Column("no_hot_water_since", sa.String(length=10), nullable=True))
    for name in ("caller_alarm", "heater_off", "office_not_told"):
        op.add_column("job", sa.Column(name, sa.Boolean(), nullable=False, server_default=sa.false()))
    op.create_index(op.f("ix_job_heater_off"), "job", ["heater_off"])
    op.create_index(op.f("ix_job_due_out_wall"), "job", ["due_out_wall"])
    op.add_column("person", sa.Column("licence_words", sa.String(length=120), nullable=True))
    op.add_column("person", sa.Column("licence_expires_on", sa.String(length=10), nullable=True))
    op.create_table(
        "company_setting",
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_company_setting")),
    )
    op.create_table(
        "model_sheet_version",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("model_sheet_id", sa.String(length=36), nullable=False),
        sa.Column("procedure_name", sa.String(length=80), nullable=False),
        sa.Column("maker_words", sa.String(length=200), nullable=False),
        sa.Column("model_words", sa.String(length=200), nullable=False),
        sa.Column("model_key", sa.String(length=400), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("saved_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("is_current", sa.Boolean(), nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_model_sheet_version")),
    )
    op.create_index(
        op.f("ix_model_sheet_version_model_sheet_id_saved_at"), "model_sheet_version", ["model_sheet_id", "saved_at"]
    )
    op.create_index(
        op.f("ix_model_sheet_version_is_current_model_key"), "model_sheet_version", ["is_current", "model_key"]
    )


def downgrade() -> None:
    op.drop_table("model_sheet_version")
    op.drop_table("company_setting")
    op.drop_column("person", "licence_expires_on")
    op.drop_column("person", "licence_words")
    op.drop_index(op.f("ix_job_due_out_wall"), "job")
    op.drop_index(op.f("ix_job_heater_off"), "job")
    for name in ("office_not_told", "heater_off", "caller_alarm", "no_hot_water_since", "ring_phone", "due_out_wall"):
        op.drop_column("job", name)
