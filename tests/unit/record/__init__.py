"""The record room: events, their bytes, what is in effect."""
