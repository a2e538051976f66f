"""What may stand against a branch in a review, apart so that the command line need not load more."""

from __future__ import annotations

#: What may stand against a branch, gravest first; a policy names those that stop it.
REASONS = ("error", "warning", "note", "allergen", "untested", "changelog")
#: What stops a branch where nobody says otherwise. House choice.
USUAL_POLICY = ("error", "untested", "changelog")
