"""What a formula weighs: masses, percentages, ratios, spreads, and what a batch holds; pure
computation of formula and kitchen.
"""
