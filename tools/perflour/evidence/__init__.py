"""Why formulas differ: what was baked joined with what it scored, pairs, ranks, maps, the middle of several; it reads formulas, history and records and writes nothing."""
