"""What happened between two commits, for those who decide and for readers: release log, gate,
review.
"""
