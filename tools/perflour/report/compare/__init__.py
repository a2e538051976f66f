"""Formulas side by side as tables, HTML, data and charts."""
