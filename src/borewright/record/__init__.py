"""What happened: events, their canonical bytes, which of them are in effect, and upgrades of old versions.

Pure: no clock, no files, no database. The shop room stores what this room shapes.
"""
