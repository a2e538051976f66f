"""The whole kitchen as a folder of pages: what each formula's pages tell, what all of them tell together, which are written again."""
