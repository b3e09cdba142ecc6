"""Measures: geometry, conservation, mirror and units, beside libraries that share no code with them."""
