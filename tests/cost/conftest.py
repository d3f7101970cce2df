import os
from contextlib import ExitStack, contextmanager
from uuid import uuid4

import pytest


@contextmanager
def _database(folder):
    given = os.environ.get("BELLSIDE_DATABASE", "")
    name = f"cost_{uuid4().hex}"
    if not given.startswith("postgresql"):
        yield f"sqlite:///{folder}/{name}.sqlite3"
        return
    import psycopg

    with psycopg.connect(given, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    yield f"{given.rpartition('/')[0]}/{name}"
    with psycopg.connect(given, autocommit=True) as connection:
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def databases(tmp_path):
    """Each call gives the address of an empty database, on SQLite or, where the tests
    run on it, beside the PostgreSQL in use.
    """
    with ExitStack() as stack:
        yield lambda: stack.enter_context(_database(tmp_path))


@pytest.fixture
def database(databases):
    return databases()
