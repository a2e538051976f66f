"""Differences in the words of a baker."""
