"""The batch: whether a run of bores stands still, what it can hold, and when to move the tool."""
