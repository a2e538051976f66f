"""What a kitchen knows before any formula is read: amounts, units, ingredients, pans, prices, the
house; it touches house files and the catalogue only.
"""
