"""What was baked and why formulas differ, as tables, words, data and charts."""
