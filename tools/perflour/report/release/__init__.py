"""Release logs and reviews in words."""
