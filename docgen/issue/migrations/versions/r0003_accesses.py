"""The access log: who saw what of which number, and when."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from docgen.issue.triggers import making

revision = "0003"
down_revision = "0002"

WHOLE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the table and the triggers that keep it as it is."""
    op.create_table(
        "accesses",
        sa.Column("id", WHOLE, sa.Identity(always=True), primary_key=True),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("number", WHOLE, sa.ForeignKey("documents.number", name="accesses_of_document"), nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("what", sa.Text, nullable=False),
        sqlite_strict=True,
    )
    op.create_index("accesses_of_number", "accesses", ["number"])
    for statement in making(op.get_bind().dialect.name, "accesses"):
        op.execute(statement)
