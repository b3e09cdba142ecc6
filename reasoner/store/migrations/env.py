"""What alembic asks for: run the steps on the connection handed over.

In: a connection in the configuration's attributes. Out: the steps done, in one transaction of the caller.
Not here: connecting.
"""

from __future__ import annotations

from alembic import context

from reasoner.store.tables import META

if hasattr(context, "config"):  # not so where somebody imports every module to look for examples in it
    connection = context.config.attributes["connection"]
    context.configure(connection=connection, target_metadata=META, transactional_ddl=True, render_as_batch=False)
    context.run_migrations()
