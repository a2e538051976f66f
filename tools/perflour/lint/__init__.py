"""What is wrong: files to results by the rules, known results, and what earlier runs found; it
writes nothing but its own cache.
"""
