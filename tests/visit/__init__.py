"""Tests of the visit room."""
