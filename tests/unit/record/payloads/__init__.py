"""The payloads of events."""
