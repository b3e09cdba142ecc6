"""Every page by its own examples."""
