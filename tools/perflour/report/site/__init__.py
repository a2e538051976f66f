"""The pages of the whole kitchen: a start page, one for each formula and revision, and those over all of them."""
