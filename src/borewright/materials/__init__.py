"""What work, bars and masters are made of, with sources and widths."""
