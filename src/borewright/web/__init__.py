"""Pages and API: what a browser on this machine sees of the record, and the acts it sends."""
