"""Recipes told in running text: foods with their amounts, the part each belongs to, the method without them."""
