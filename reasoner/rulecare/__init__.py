"""The care of a rulebook: what its owners ask of it as a whole.

In: folders of rules, and visits. Out: what is wrong with them, what their examples do not show, skeletons of new pages, schemas
for editors, what a change of the rulebook would change; all as data.
Not here: answering a visit (consult), words of commands (cli).
"""
