"""Bringing a bore to size: what is believed about it, how the next pass is chosen, and what is said about it."""
