"""Tests of the teaching room."""
