"""Rules on what can hurt someone; each defers to the food code of the place."""
