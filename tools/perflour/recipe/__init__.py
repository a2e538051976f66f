"""Recipes as people write them, to formula files: plain text, web pages, ingredient sheets."""
