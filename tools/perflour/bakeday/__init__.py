"""A day of baking: batches, shopping, cost, and a timetable for the ovens."""
