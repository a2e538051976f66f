"""Test bakes and blind tastings: recorded, listed, checked, judged."""
