"""Fifty people at fifty pages of one server for a minute: `make soak`."""
