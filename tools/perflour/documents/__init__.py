"""YAML text to data with the place of every node, judged by a schema, and back to text with its
comments; it knows no baking.
"""
