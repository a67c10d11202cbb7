"""Commands, and the session at the terminal."""
