"""Test bakes, tasting sheets and judgements in words."""
