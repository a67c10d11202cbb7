"""The docs, and what writes the parts of them that follow from the code."""
