"""Planned trials and what they showed, in words."""
