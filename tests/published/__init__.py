"""Values as printed elsewhere, one file for each source."""
