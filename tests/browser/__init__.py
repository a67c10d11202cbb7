"""The pages in a real browser, against the program's own server process and its database."""
