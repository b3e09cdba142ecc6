"""The rendering room: what was found and concluded, put on the page.

In: plain frozen data from the other rooms. Out: text, HTML and SVG, every word from outside escaped.
Not here: reading files of notes, weighing evidence, deciding anything.
"""
