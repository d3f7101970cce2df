"""Statements whose SQL is worked out once: for what every save reads and writes.

Django builds the SQL of each statement anew, which costs more than the store needs to
carry it out. A marker's key press waits for this, so these rows go without.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, cached_property
from typing import Any, Generic, NamedTuple, TypeVar

from django.db import connection
from django.db.models import Field, Model, QuerySet
from django.db.models.query import get_related_populators  # type: ignore[attr-defined] # not in the stubs

Row = TypeVar("Row", bound=Model)

# They stand for the keys while the SQL is worked out: no row has a key below 0.
_PLACES = (-7_260_411, -7_260_412, -7_260_413)


class Kept(Generic[Row]):
    """A question to the store for one row, asked again and again with other keys.

        own = Kept(lambda person, pk: Marking.objects.filter(marker=person, pk=pk))
        own.first(request.user.pk, 7)

    `ask` gives the queryset for the keys that stand in their places, up to three. It is
    asked once: nothing in it but the keys may change from one time to the next.
    """

    def __init__(self, ask: Callable[..., QuerySet[Row]]) -> None:
        self._ask = ask

    def first(self, *keys: int) -> Row | None:
        """The row for these keys, with all that select_related and only() say."""
        plan = self._plan
        given = dict(zip(_PLACES, keys, strict=False))
        with connection.cursor() as cursor:
            cursor.execute(plan.sql, [given.get(value, value) for value in plan.values])
            found = cursor.fetchone()
        if found is None:
            return None
        compiler = plan.queryset.query.get_compiler(connection=connection)
        (row,) = compiler.apply_converters([found], plan.converters)
        made: Row = plan.queryset.model.from_db("default", plan.names, row[plan.own])
        for populator in plan.populators:
            populator.populate(row, made)
        return made

    @cached_property
    def _plan(self) -> _Plan:
        queryset = self._ask(*_PLACES[: self._ask.__code__.co_argcount])
        compiler: Any = queryset.query.get_compiler(connection=connection)
        sql, values = compiler.as_sql()
        select = compiler.select
        columns = compiler.klass_info["select_fields"]
        own = slice(columns[0], columns[-1] + 1)
        return _Plan(
            queryset,
            sql,
            values,
            compiler.get_converters([expression for expression, *_ in select]),
            own,
            [expression.target.attname for expression, *_ in select[own]],
            get_related_populators(compiler.klass_info, select, "default"),
        )


class _Plan(NamedTuple):
    queryset: QuerySet[Any]
    sql: str
    values: tuple[Any, ...]
    converters: dict[int, Any]
    own: slice
    names: list[str]
    populators: list[Any]


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
