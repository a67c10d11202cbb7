"""Tests of the belief, the plan and the advice."""
