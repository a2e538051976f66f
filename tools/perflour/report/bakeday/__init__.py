"""Plans, shopping lists and costs in words."""
