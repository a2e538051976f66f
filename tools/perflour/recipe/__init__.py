"""Recipes as people write them, to formula files: plain text, web pages, PDFs, ingredient sheets."""
