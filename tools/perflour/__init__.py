"""perflour: baking formulas as data, weighed, checked and compared in ratios."""

__version__ = "0.1.0"
