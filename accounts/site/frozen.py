"""Triggers that freeze rows in the store itself, for migrations."""

from __future__ import annotations

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def freeze(table: str, *acts: str) -> migrations.RunPython:
    """An operation after which the store refuses `acts` (UPDATE, DELETE) on a table.

    Code can be wrong and an administrator can be in a hurry; the store is neither.
    PostgreSQL empties a table by TRUNCATE, past triggers on DELETE, so that the one is
    refused with the other.
    """

    def forwards(apps: object, editor: BaseDatabaseSchemaEditor) -> None:
        for act in acts:
            name = f"{table}_refuses_{act.lower()}"
            words = f"{table} is frozen: {act} refused"
            if editor.connection.vendor == "postgresql":
                editor.execute(
                    f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS "
                    f"$$ BEGIN RAISE EXCEPTION '{words}' "
                    "USING ERRCODE = 'integrity_constraint_violation'; END $$"
                )
                editor.execute(
                    f"CREATE TRIGGER {name} BEFORE {act} ON {table} "
                    f"FOR EACH ROW EXECUTE FUNCTION {name}()"
                )
                if act == "DELETE":
                    editor.execute(
                        f"CREATE TRIGGER {name}_of_all BEFORE TRUNCATE ON {table} "
                        f"FOR EACH STATEMENT EXECUTE FUNCTION {name}()"
                    )
            else:
                editor.execute(
                    f"CREATE TRIGGER {name} BEFORE {act} ON {table} "
                    f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
                )

    def backwards(apps: object, editor: BaseDatabaseSchemaEditor) -> None:
        for act in acts:
            name = f"{table}_refuses_{act.lower()}"
            if editor.connection.vendor == "postgresql":
                editor.execute(f"DROP FUNCTION {name}() CASCADE")
            else:
                editor.execute(f"DROP TRIGGER {name}")

    return migrations.RunPython(forwards, backwards)
