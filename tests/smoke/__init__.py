"""The whole way as somebody meets it for the first time: `make smoke`."""
