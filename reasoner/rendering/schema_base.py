"""What every shape of a JSON answer is built on.

In: nothing. Out: `Shape`.
Not here: any one answer. No command imports this.
"""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Shape(BaseModel):
    """Every key is always there, and no others."""

    model_config = ConfigDict(extra="forbid")
