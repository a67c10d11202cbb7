"""What comes in from files and goes out to them: job files in TOML, and the demo's own."""
