"""One step a file. A step is never edited once it was released."""
