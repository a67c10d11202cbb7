"""The payloads of events, version 1: what is stored about each thing that happens to a bore, a tool or a gauge."""
