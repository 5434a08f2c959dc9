"""The steps by which the schema of the register came to be; Alembic runs them by their revision."""
