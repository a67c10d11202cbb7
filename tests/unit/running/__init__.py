"""Tests of what was measured."""
