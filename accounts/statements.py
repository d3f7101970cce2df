"""Inserts and updates whose SQL is worked out once: for the rows that every save writes.

Django builds the SQL of each insert and update anew, which costs more than the store
needs to carry it out. A marker's key press waits for this, so these rows go without.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from django.db import connection
from django.db.models import Field, Model


def insert(*rows: Model) -> None:
    """Insert new rows of one model; an automatic primary key is left to the store."""
    if not rows:
        return
    sql, fields = _insert(type(rows[0]))
    with connection.cursor() as cursor:
        cursor.executemany(sql, [_values(row, fields) for row in rows])


def update(row: Model, *names: str) -> None:
    """Write the named fields of one row that is in the store."""
    sql, fields = _update(type(row), names)
    with connection.cursor() as cursor:
        cursor.execute(sql, [*_values(row, fields), row.pk])


@cache
def _insert(model: type[Model]) -> tuple[str, list[Field[Any, Any]]]:
    fields = [
        field
        for field in model._meta.concrete_fields
        if not (field.primary_key and field.get_internal_type().endswith("AutoField"))
    ]
    columns = ", ".join(f'"{field.column}"' for field in fields)
    places = ", ".join(["%s"] * len(fields))
    table = model._meta.db_table
    return f'INSERT INTO "{table}" ({columns}) VALUES ({places})', fields  # noqa: S608 - our own names


@cache
def _update(
    model: type[Model], names: tuple[str, ...]
) -> tuple[str, list[Field[Any, Any]]]:
    wanted = [model._meta.get_field(name) for name in names]
    fields = [field for field in wanted if isinstance(field, Field)]
    columns = ", ".join(f'"{field.column}" = %s' for field in fields)
    key = model._meta.pk.column
    return f'UPDATE "{model._meta.db_table}" SET {columns} WHERE "{key}" = %s', fields  # noqa: S608 - our own names


def _values(row: Model, fields: list[Field[Any, Any]]) -> list[Any]:
    return [
        field.get_db_prep_save(getattr(row, field.attname), connection)
        for field in fields
    ]
