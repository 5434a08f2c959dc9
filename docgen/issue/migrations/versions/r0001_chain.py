"""The chain: the register's identity, its entries, and the head that writers lock."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from docgen.issue.triggers import POSTGRES_FUNCTION, making

revision = "0001"
down_revision = None

WHOLE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the tables and the triggers that keep entries as they are."""
    op.create_table(
        "identity",
        sa.Column("id", sa.Integer, sa.CheckConstraint("id = 1", name="one_identity"), primary_key=True),
        sa.Column("register_id", sa.Text, nullable=False),
        sa.Column("digest_key", sa.LargeBinary, nullable=False),
        sa.Column("checkpoint_key", sa.LargeBinary, nullable=False),
        sa.Column("public_key", sa.Text, nullable=False),
        sa.Column("made_at", sa.Text, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "head",
        sa.Column("id", sa.Integer, sa.CheckConstraint("id = 1", name="one_head"), primary_key=True),
        sa.Column("seq", WHOLE, nullable=False),
        sa.Column("digest", sa.Text, nullable=False),
        sa.Column("number", WHOLE, nullable=False),
        sa.Column("seal", sa.Text, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "entries",
        sa.Column("seq", WHOLE, primary_key=True, autoincrement=False),
        sa.Column("number", WHOLE, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("digest", sa.Text, nullable=False),
        sqlite_strict=True,
    )
    op.create_index("entries_of_number", "entries", ["number"])
    dialect = op.get_bind().dialect.name
    if dialect == "postgresql":
        op.execute(POSTGRES_FUNCTION)
    for statement in making(dialect, "entries"):
        op.execute(statement)
