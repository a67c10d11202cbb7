"""Learning from finished bores."""
