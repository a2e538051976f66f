"""What stands beside formulas: test bakes, tasting sessions and planned trials as they were recorded; it reads
them and judges nothing.
"""
