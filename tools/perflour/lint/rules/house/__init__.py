"""Rules of the house format: names, order, approval."""
