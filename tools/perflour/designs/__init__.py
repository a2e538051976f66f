"""Planned trials: which bakes tell the most, the variants to bake, and what their scores show; it writes trials and variants."""
