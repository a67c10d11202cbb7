"""Pinned bytes, hashes and numbers, each with the script that makes it."""
