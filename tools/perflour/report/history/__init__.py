"""Changelogs as text, JSON, Markdown, HTML and charts."""
