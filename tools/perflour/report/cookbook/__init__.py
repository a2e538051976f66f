"""The cookbook in print and HTML, and its schema.org markup."""
