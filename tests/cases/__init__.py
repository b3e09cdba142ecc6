"""Whole visits: a realistic horse, what leads, what is done or held back, and what must not be said."""
