import os
from uuid import uuid4

import pytest


@pytest.fixture
def database(tmp_path):
    """The address of an empty database: SQLite, or beside the PostgreSQL in use."""
    given = os.environ.get("BELLSIDE_DATABASE", "")
    if not given.startswith("postgresql"):
        yield f"sqlite:///{tmp_path}/cost.sqlite3"
        return
    import psycopg

    name = f"cost_{uuid4().hex}"
    with psycopg.connect(given, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    yield f"{given.rpartition('/')[0]}/{name}"
    with psycopg.connect(given, autocommit=True) as connection:
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")
