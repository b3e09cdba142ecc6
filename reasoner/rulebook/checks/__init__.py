"""What makes a page a good one, one idea a file: each a function from `Given` to problems.

In: a rulebook as read, and the wording of its layers. Out: problems with file and line; `runner` gathers them.
Not here: what cannot be read at all (loading, references), and what needs the compiled network (rulecare).
"""
