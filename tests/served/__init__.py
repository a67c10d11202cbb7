"""The served program as a client meets it: the process, and a machinist who does over HTTP what the advice says."""
