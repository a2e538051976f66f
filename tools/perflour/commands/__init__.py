"""One module a command: what it takes, and what it does with that. Loaded when it is asked for."""
