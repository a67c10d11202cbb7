"""Tests of the pages, the API and the guard before them."""
