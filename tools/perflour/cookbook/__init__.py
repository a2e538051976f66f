"""Formulas to pages for readers, in values: steps as sentences, chapters, index."""
