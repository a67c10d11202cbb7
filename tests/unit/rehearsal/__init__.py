"""Tests of the simulated machine and of what sizes bores on it."""
