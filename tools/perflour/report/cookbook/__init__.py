"""The cookbook in print, HTML and EPUB, and its schema.org markup."""
