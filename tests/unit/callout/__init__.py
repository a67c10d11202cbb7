"""What the drawing asks."""
