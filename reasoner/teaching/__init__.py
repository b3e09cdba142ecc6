"""Teaching: apprentices learn to reason, and to feel the same thing.

In: the rulebook, visits, answers, logs. Out: cases to practise on and what came of them; what two hands make of one horse.
Not here: wording, pages, commands. Statistics come from libraries and are imported only where they are used.
"""
