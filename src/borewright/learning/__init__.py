"""Learning: what finished bores teach becomes what the next bore of the same tool begins with."""
