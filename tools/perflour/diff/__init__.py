"""What moved between two versions, in ratios and in the method; pure computation of two balances,
and the choice of the two sides.
"""
