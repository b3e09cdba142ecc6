"""Tests of the page: its application, and the page itself in a browser."""
