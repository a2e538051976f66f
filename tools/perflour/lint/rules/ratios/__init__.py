"""Rules on ratios, leavening and yield."""
