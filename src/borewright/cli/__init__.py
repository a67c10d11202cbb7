"""The command line: translates between a person at a terminal and the acts of the shop; no rule of the trade."""
