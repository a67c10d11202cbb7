"""What is typed, shown, said and rounded."""
