"""Answers to questions: formulas found, a figure through time, what a save did."""
