"""Many formulas of one product side by side: rows, odd values, distances."""
