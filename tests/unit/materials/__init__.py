"""Tests of what things are made of."""
