"""Three versions of a formula file to one, by ingredient and by step; git calls its driver."""
