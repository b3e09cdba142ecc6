"""`python -m reasoner`: the same as `reasoner`.

In: the command line. Out: its exit code.
Not here: anything else.
"""

from reasoner.cli import main

if __name__ == "__main__":
    main()
