"""The inference room: compile a rulebook, order it, run it, keep the record.

In: a rulebook; columns of readings. Out: certainties, concerns, actions, and a record of every premise leaf.
Not here: prose, YAML, pydantic, knowledge of particular rules.
"""
