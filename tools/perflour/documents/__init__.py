"""YAML text to data with the place of every node, judged by a schema, and back to text with its
comments; rows of CSV and workbooks too; it knows no baking.
"""
