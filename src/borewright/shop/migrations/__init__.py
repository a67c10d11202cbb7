"""Steps from one version of the record's tables to the next, run by Alembic inside one transaction."""
