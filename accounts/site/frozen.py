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
            name, words = _name(table, act), _words(table, act)
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
                editor.execute(_sqlite_trigger(table, act))

    def backwards(apps: object, editor: BaseDatabaseSchemaEditor) -> None:
        for act in acts:
            name = _name(table, act)
            if editor.connection.vendor == "postgresql":
                editor.execute(f"DROP FUNCTION {name}() CASCADE")
            else:
                editor.execute(f"DROP TRIGGER {name}")

    return migrations.RunPython(forwards, backwards)


def keep_frozen(table: str, *acts: str) -> migrations.RunPython:
    """Before and after an operation that gives a frozen table another column.

    SQLite makes such a table anew, and the triggers go with the old one; which end of
    the migration is the last depends on the way it runs, so that both need it.
    """

    def either_way(apps: object, editor: BaseDatabaseSchemaEditor) -> None:
        if editor.connection.vendor == "postgresql":
            return
        for act in acts:
            editor.execute(_sqlite_trigger(table, act, unless_there=True))

    return migrations.RunPython(either_way, either_way)


def _sqlite_trigger(table: str, act: str, *, unless_there: bool = False) -> str:
    return (
        f"CREATE TRIGGER {'IF NOT EXISTS ' if unless_there else ''}{_name(table, act)} "
        f"BEFORE {act} ON {table} BEGIN SELECT RAISE(ABORT, '{_words(table, act)}'); END"
    )


def _name(table: str, act: str) -> str:
    return f"{table}_refuses_{act.lower()}"


def _words(table: str, act: str) -> str:
    return f"{table} is frozen: {act} refused"
