"""A page in another language than formula files: who says its words, and the grammar of each language."""
