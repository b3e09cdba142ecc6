"""What a practice asks of its records.

In: stores with a few visits. Out: courses, lists, sheets. Not here: tables and transactions (tests/store).
"""
