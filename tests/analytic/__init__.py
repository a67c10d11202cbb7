"""Closed forms, limits, properties, and one method against another."""
