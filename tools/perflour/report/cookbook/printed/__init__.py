"""The pages of a book in words and figures, rounded, before any form."""
