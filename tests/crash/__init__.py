"""A writer killed at random: nothing acknowledged is lost, nothing is doubled, no entry is stored by half.

What this shows is what survives the death of the process (SIGKILL at any instruction), because the operating system
keeps what was written. It does not show what survives a power cut or a dying disk: no test without such a machine
can. There the record relies on SQLite's order of writes and syncs, on ``synchronous`` as read back from the live
connection, and on a disk that does not lie about a sync.
"""
