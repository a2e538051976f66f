"""What several rules ask of one formula: its method, steps, portions, allergens; answers only, no
results.
"""
