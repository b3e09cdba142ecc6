"""The tests of the records run on SQLite and on PostgreSQL.

In: nothing. Out: the fixtures of fixtures.py.
Not here: tests.
"""

from tests.store.fixtures import nursery, place, server, store

__all__ = ["nursery", "place", "server", "store"]
