"""Unit tests; the folders mirror the source."""
