"""the first store

Revision ID: 0001
Revises:
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

SQLITE_TRIGGERS = [
    f"""CREATE TRIGGER event_refuses_{verb.lower()} BEFORE {verb} ON event
    BEGIN SELECT RAISE(ABORT, 'an event is never changed'); END"""
    for verb in ("UPDATE", "DELETE")
]

POSTGRESQL_TRIGGERS = [
    """CREATE FUNCTION event_refuses_change() RETURNS trigger LANGUAGE plpgsql AS
    $$ BEGIN RAISE EXCEPTION 'an event is never changed' USING ERRCODE = 'restrict_violation'; END $$""",
    """CREATE TRIGGER event_refuses_change BEFORE UPDATE OR DELETE ON event
    FOR EACH ROW EXECUTE FUNCTION event_refuses_change()""",
    """CREATE TRIGGER event_refuses_truncate BEFORE TRUNCATE ON event
    FOR EACH STATEMENT EXECUTE FUNCTION event_refuses_change()""",
]


def upgrade() -> None:
    op.create_table(
        "held_event",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("event_id", sa.String(length=36), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("device_id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("reason", sa.String(length=40), nullable=False),
        sa.Column("event", sa.Text(), nullable=False),
        sa.Column("held_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("released_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_held_event")),
        sa.UniqueConstraint("event_id", "digest", name=op.f("uq_held_event_event_id_digest")),
    )
    op.create_index(op.f("ix_held_event_released_at"), "held_event", ["released_at"], unique=False)
    op.create_table(
        "meta",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("epoch", sa.String(length=36), nullable=False),
        sa.Column("epoch_began_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_meta_one_row")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_meta")),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("login", sa.String(length=80), nullable=False),
        sa.Column("role", sa.String(length=20), nullable=False),
        sa.Column("password_hash", sa.String(length=200), nullable=True),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.CheckConstraint("role IN ('technician', 'dispatcher', 'owner')", name=op.f("ck_person_role_known")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("login", name=op.f("uq_person_login")),
    )
    op.create_table(
        "photo",
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("length_bytes", sa.Integer(), nullable=False),
        sa.Column("media_type", sa.String(length=40), nullable=False),
        sa.Column("stored_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("sha256", name=op.f("pk_photo")),
    )
    op.create_table(
        "procedure_version",
        sa.Column("hash", sa.String(length=64), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("stored_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("is_current", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("hash", name=op.f("pk_procedure_version")),
    )
    op.create_index(op.f("ix_procedure_version_name"), "procedure_version", ["name"], unique=False)
    op.create_table(
        "site",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("head", sa.Integer(), nullable=False),
        sa.Column("chain", sa.String(length=64), nullable=False),
        sa.Column("group_id", sa.String(length=36), nullable=False),
        sa.Column("created_by_person_id", sa.String(length=36), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("street", sa.String(length=200), nullable=False),
        sa.Column("town", sa.String(length=120), nullable=False),
        sa.Column("postcode", sa.String(length=20), nullable=False),
        sa.Column("customer_name", sa.String(length=120), nullable=False),
        sa.Column("phone", sa.String(length=40), nullable=False),
        sa.Column("access_words", sa.Text(), nullable=False),
        sa.Column("street_key", sa.String(length=200), nullable=False),
        sa.Column("phone_key", sa.String(length=20), nullable=False),
        sa.Column("search_text", sa.Text(), nullable=False),
        sa.Column("needs_rebuild", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_site")),
    )
    op.create_index(
        op.f("ix_site_created_by_person_id_created_at"), "site", ["created_by_person_id", "created_at"], unique=False
    )
    op.create_index(op.f("ix_site_group_id"), "site", ["group_id"], unique=False)
    op.create_index(op.f("ix_site_phone_key"), "site", ["phone_key"], unique=False)
    op.create_index(op.f("ix_site_street_key"), "site", ["street_key"], unique=False)
    op.create_table(
        "throttle",
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.Column("window_began_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("failures", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_throttle")),
    )
    op.create_table(
        "device",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("words", sa.String(length=200), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=True),
        sa.Column("token_expires_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("enrolled_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("last_dev_seq", sa.Integer(), nullable=False),
        sa.Column("last_seen_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("kind IN ('phone', 'office')", name=op.f("ck_device_kind_known")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_device_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_device")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_device_token_hash")),
    )
    op.create_index(op.f("ix_device_person_id"), "device", ["person_id"], unique=False)
    op.create_table(
        "enrol_code",
        sa.Column("code_hash", sa.String(length=64), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_enrol_code_person_id_person")),
        sa.PrimaryKeyConstraint("code_hash", name=op.f("pk_enrol_code")),
    )
    op.create_table(
        "event",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("site_id", sa.String(length=36), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("chain", sa.String(length=64), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=True),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("device_id", sa.String(length=36), nullable=False),
        sa.Column("dev_seq", sa.BigInteger(), nullable=False),
        sa.Column("lamport", sa.BigInteger(), nullable=False),
        sa.Column("at_wall", sa.String(length=40), nullable=False),
        sa.Column("clock_offset", sa.BigInteger(), nullable=True),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("schema_number", sa.Integer(), nullable=False),
        sa.Column("replaces", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_event_site_id_site")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_event")),
        sa.UniqueConstraint("site_id", "seq", name=op.f("uq_event_site_id_seq")),
    )
    op.create_index(op.f("ix_event_device_id_dev_seq"), "event", ["device_id", "dev_seq"], unique=False)
    op.create_index(op.f("ix_event_job_id"), "event", ["job_id"], unique=False)
    op.create_table(
        "finding",
        sa.Column("event_id", sa.String(length=36), nullable=False),
        sa.Column("site_id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("at_wall", sa.String(length=40), nullable=False),
        sa.Column("check_id", sa.String(length=80), nullable=False),
        sa.Column("outcome", sa.String(length=80), nullable=True),
        sa.Column("could_not", sa.String(length=40), nullable=True),
        sa.Column("words", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_finding_site_id_site")),
        sa.PrimaryKeyConstraint("event_id", name=op.f("pk_finding")),
    )
    op.create_index(op.f("ix_finding_check_id_outcome"), "finding", ["check_id", "outcome"], unique=False)
    op.create_index(op.f("ix_finding_job_id"), "finding", ["job_id"], unique=False)
    op.create_index(op.f("ix_finding_site_id"), "finding", ["site_id"], unique=False)
    op.create_table(
        "job",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("site_id", sa.String(length=36), nullable=False),
        sa.Column("state", sa.String(length=10), nullable=False),
        sa.Column("technician_id", sa.String(length=36), nullable=True),
        sa.Column("complaint", sa.String(length=80), nullable=False),
        sa.Column("complaint_words", sa.Text(), nullable=False),
        sa.Column("procedure_name", sa.String(length=80), nullable=False),
        sa.Column("procedure_hash", sa.String(length=64), nullable=True),
        sa.Column("due_wall", sa.String(length=40), nullable=True),
        sa.Column("booked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("close_state", sa.String(length=30), nullable=True),
        sa.Column("cause", sa.String(length=80), nullable=True),
        sa.Column("last_received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("event_count", sa.Integer(), nullable=False),
        sa.Column("record", sa.Text(), nullable=True),
        sa.Column("fold_version", sa.Integer(), nullable=False),
        sa.Column("needs_rebuild", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_job_site_id_site")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job")),
    )
    op.create_index(op.f("ix_job_closed_at"), "job", ["closed_at"], unique=False)
    op.create_index(op.f("ix_job_needs_rebuild"), "job", ["needs_rebuild"], unique=False)
    op.create_index(op.f("ix_job_site_id"), "job", ["site_id"], unique=False)
    op.create_index(op.f("ix_job_state_booked_at"), "job", ["state", "booked_at"], unique=False)
    op.create_index(
        op.f("ix_job_technician_id_last_received_at"), "job", ["technician_id", "last_received_at"], unique=False
    )
    op.create_index(op.f("ix_job_technician_id_state"), "job", ["technician_id", "state"], unique=False)
    op.create_table(
        "photo_use",
        sa.Column("event_id", sa.String(length=36), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("site_id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=True),
        sa.ForeignKeyConstraint(["sha256"], ["photo.sha256"], name=op.f("fk_photo_use_sha256_photo")),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_photo_use_site_id_site")),
        sa.PrimaryKeyConstraint("event_id", name=op.f("pk_photo_use")),
    )
    op.create_index(op.f("ix_photo_use_job_id"), "photo_use", ["job_id"], unique=False)
    op.create_index(op.f("ix_photo_use_sha256"), "photo_use", ["sha256"], unique=False)
    op.create_index(op.f("ix_photo_use_site_id"), "photo_use", ["site_id"], unique=False)
    op.create_table(
        "reading",
        sa.Column("event_id", sa.String(length=36), nullable=False),
        sa.Column("site_id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("at_wall", sa.String(length=40), nullable=False),
        sa.Column("check_id", sa.String(length=80), nullable=True),
        sa.Column("quantity", sa.String(length=80), nullable=False),
        sa.Column("value", sa.Float(), nullable=False),
        sa.Column("place", sa.String(length=80), nullable=True),
        sa.Column("state", sa.String(length=20), nullable=True),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_reading_site_id_site")),
        sa.PrimaryKeyConstraint("event_id", name=op.f("pk_reading")),
    )
    op.create_index(op.f("ix_reading_job_id"), "reading", ["job_id"], unique=False)
    op.create_index(op.f("ix_reading_quantity"), "reading", ["quantity"], unique=False)
    op.create_index(op.f("ix_reading_site_id"), "reading", ["site_id"], unique=False)

    triggers = SQLITE_TRIGGERS if op.get_bind().dialect.name == "sqlite" else POSTGRESQL_TRIGGERS
    for statement in triggers:
        op.execute(statement)


def downgrade() -> None:
    op.drop_index(op.f("ix_reading_site_id"), table_name="reading")
    op.drop_index(op.f("ix_reading_quantity"), table_name="reading")
    op.drop_index(op.f("ix_reading_job_id"), table_name="reading")
    op.drop_table("reading")
    op.drop_index(op.f("ix_photo_use_site_id"), table_name="photo_use")
    op.drop_index(op.f("ix_photo_use_sha256"), table_name="photo_use")
    op.drop_index(op.f("ix_photo_use_job_id"), table_name="photo_use")
    op.drop_table("photo_use")
    op.drop_index(op.f("ix_job_technician_id_state"), table_name="job")
    op.drop_index(op.f("ix_job_technician_id_last_received_at"), table_name="job")
    op.drop_index(op.f("ix_job_state_booked_at"), table_name="job")
    op.drop_index(op.f("ix_job_site_id"), table_name="job")
    op.drop_index(op.f("ix_job_needs_rebuild"), table_name="job")
    op.drop_index(op.f("ix_job_closed_at"), table_name="job")
    op.drop_table("job")
    op.drop_index(op.f("ix_finding_site_id"), table_name="finding")
    op.drop_index(op.f("ix_finding_job_id"), table_name="finding")
    op.drop_index(op.f("ix_finding_check_id_outcome"), table_name="finding")
    op.drop_table("finding")
    op.drop_index(op.f("ix_event_job_id"), table_name="event")
    op.drop_index(op.f("ix_event_device_id_dev_seq"), table_name="event")
    op.drop_table("event")
    op.drop_table("enrol_code")
    op.drop_index(op.f("ix_device_person_id"), table_name="device")
    op.drop_table("device")
    op.drop_table("throttle")
    op.drop_index(op.f("ix_site_street_key"), table_name="site")
    op.drop_index(op.f("ix_site_phone_key"), table_name="site")
    op.drop_index(op.f("ix_site_group_id"), table_name="site")
    op.drop_index(op.f("ix_site_created_by_person_id_created_at"), table_name="site")
    op.drop_table("site")
    op.drop_index(op.f("ix_procedure_version_name"), table_name="procedure_version")
    op.drop_table("procedure_version")
    op.drop_table("photo")
    op.drop_table("person")
    op.drop_table("meta")
    op.drop_index(op.f("ix_held_event_released_at"), table_name="held_event")
    op.drop_table("held_event")
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP FUNCTION event_refuses_change()")
