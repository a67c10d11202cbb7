"""The record on disk, and the acts."""
