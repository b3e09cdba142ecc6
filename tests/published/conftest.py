"""The published checks ask in the same way as the facts of the trade: as written, and in the mirror.

In: nothing. Out: the fixture `ask`. Not here: expectations, and sources (each stands beside its check).
"""

from tests.trade.conftest import ask

__all__ = ["ask"]
