"""The care of a rulebook: what its owners ask of it as a whole, once it is compiled.

In: folders of rules. Out: what is wrong with them, skeletons of new pages, schemas for editors.
Not here: answering a visit; words of commands (cli).
"""
