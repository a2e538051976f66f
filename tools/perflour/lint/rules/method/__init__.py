"""Rules on steps: what is missing, late or never used."""
