"""What happened and who entered it: streams on disk, and the acts of people as one function each.

Web pages and commands translate what a person did into a call of ``shop.acts`` and nothing else, so that no rule of
the trade stands twice. SQLAlchemy is loaded when a record is opened; Alembic only when its tables must change.
"""
