"""What a practice asks of its records: the second visit, what came of the last plan, what to do next.

In: the store, and answers. Out: courses, outcomes and lists as data.
Not here: tables and transactions (store/), wording and pictures (rendering/).
"""
