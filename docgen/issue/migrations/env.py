"""Where Alembic begins: the connection and its transaction come from `docgen.issue.upgrading`."""

from __future__ import annotations

from alembic import context

context.configure(connection=context.config.attributes["connection"])
context.run_migrations()
