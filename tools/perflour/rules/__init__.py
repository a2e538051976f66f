"""The rules: one module each, listed in all_rules."""
