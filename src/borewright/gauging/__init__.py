"""What was measured: from readings to a size with its uncertainty, and from a size to a verdict by a stated rule."""
