"""The rulebook room: rule files in, checked and frozen pages out.

In: folders of YAML pages, layered. Out: `Rulebook`, plain frozen data.
Not here: evaluation, numpy, sentences for clients. This room imports no other room.
"""
