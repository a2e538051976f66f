"""Commits to revisions, iterations and changelogs; it reads git and writes CHANGELOG.md and its
own cache.
"""
