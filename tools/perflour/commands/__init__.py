"""One module a command: what it takes, and what it does with that; loaded when it is asked for."""
