"""Deterministic pictures for pages, docs and paper: the same input gives the same bytes."""
