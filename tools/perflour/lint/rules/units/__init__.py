"""Rules on amounts, units and states."""
