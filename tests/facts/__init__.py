"""Tests of the numbers a visit becomes, and of the arithmetic of certainty."""
