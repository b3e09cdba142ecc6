"""How the tables came to be, step by step, run by alembic.

In: a database. Out: the same at the newest step. Not here: the tables as they now stand (tables.py); a test holds both equal.
"""
