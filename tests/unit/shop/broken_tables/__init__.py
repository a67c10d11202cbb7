"""A step of the tables that only the tests take."""
