"""Speed, measured alone on the machine: `make bench`. Each group shows ratios to its fastest."""
