"""Beginnings: a new repository, a new formula of a class, git's settings, what a clone lacks."""
