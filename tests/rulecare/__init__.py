"""Tests of the care of a rulebook."""
