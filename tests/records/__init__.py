"""What the records of several visits say beside each other.

In: horses kept in fresh stores. Out: courses, outcomes, what is said of causes. Not here: keeping a single visit.
"""
