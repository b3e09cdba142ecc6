"""Tests of the bulk room."""
