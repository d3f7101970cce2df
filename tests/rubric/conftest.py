import pytest
from django.db import connection, connections
from django.db.utils import ConnectionHandler

from tests.factories import edition_of


@pytest.fixture
def rubric(course, instructor):
    """The pulse check with its first edition."""
    return edition_of(course, by=instructor).rubric


@pytest.fixture
def empty_store(db, tmp_path):
    """The alias of a store of the kind in use, without a table."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("CREATE SCHEMA fresh")
            cursor.execute("SET LOCAL search_path TO fresh")
        yield "default"
        return
    file = {"NAME": str(tmp_path / "fresh.sqlite3")}
    settings = {**connection.settings_dict, **file}
    store = ConnectionHandler({"default": settings, "fresh": settings})["fresh"]
    store.ensure_connection()  # before it has a name: a test may open no other then
    connections.databases["fresh"] = settings
    connections["fresh"] = store
    yield "fresh"
    connections["fresh"].close()
    del connections["fresh"], connections.databases["fresh"]
