"""What stands beside formulas: test bakes and tasting sessions as they were recorded; it reads
them and judges nothing.
"""
