"""A formula to other amounts: targets in words to a factor, and the new file."""
