"""The commands: each parses its call, asks one room, prints, and exits 0, 1 or 2.

One file a command, imported only when it is called: a command without a screen imports no screen.
"""
