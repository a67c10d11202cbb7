"""Tests of what happens at the edge."""
