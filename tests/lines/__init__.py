"""What a person says or types at the horse, line by line, and what each line honestly gives.

In: `lines_*.yaml`, written before the parser of lines and without looking at it; lines are only ever added.
Out: cases. Not here: the parser, and how its answer is compared.
"""
