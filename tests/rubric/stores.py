"""A store of the kind in use as it is at one migration."""

from django.db import connections
from django.db.migrations.executor import MigrationExecutor


def migrate(store, target):
    """The models of the store as they are at the migration."""
    connections[store].check_constraints()  # as at the end of a transaction
    executor = MigrationExecutor(connections[store])
    executor.migrate([target])
    return executor.loader.project_state([target]).apps
