"""The store's history fits the models, and its names say what changed."""

import re

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from tests.project.tree import files

OURS = ("accounts", "rubric", "grading")


@pytest.mark.django_db
def test_no_model_changed_without_a_migration():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


@pytest.mark.django_db
@pytest.mark.parametrize("app", OURS)
def test_a_package_has_one_last_migration(app):
    leaves = MigrationLoader(connection).graph.leaf_nodes(app)
    assert len(leaves) == 1


@pytest.mark.parametrize("path", files("*/migrations/0*.py"), ids=lambda p: p.stem)
def test_a_migration_is_named_after_its_change(path):
    assert re.fullmatch(r"\d{4}(_[a-z0-9]+)+", path.stem)
    assert not re.search(r"_(auto|initial|alter|add_field)_?", path.stem)
