"""Values to words, tables, pages and charts, one folder for each room that has several reports; it
knows nothing of baking.
"""
