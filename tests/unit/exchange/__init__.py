"""Job files and the demo's own."""
