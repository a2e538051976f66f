"""Questions to a kitchen: which formulas hold what, how one moved through time, what a save did."""
