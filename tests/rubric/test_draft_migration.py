import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from rubric.definition import Draft, read, write_json
from tests.factories import PULSE_CHECK

BEFORE = [("rubric", "0003_editions_say_what_kept_its_meaning")]
AFTER = [("rubric", "0004_rubrics_hold_a_draft")]


def migrated(to):
    executor = MigrationExecutor(connection)
    executor.migrate(to)
    return executor.loader.project_state(to).apps


@pytest.fixture
def newest():
    executor = MigrationExecutor(connection)
    yield
    MigrationExecutor(connection).migrate(executor.loader.graph.leaf_nodes())


@pytest.mark.django_db(transaction=True)
def test_a_document_becomes_a_draft_that_says_the_same_and_back(newest):
    definition = read(PULSE_CHECK.read_text(encoding="utf-8"), "rubric")
    old = migrated(BEFORE)
    user = old.get_model("accounts", "User").objects.create(name="Ada", email="a@b.c")
    course = old.get_model("accounts", "Course").objects.create(title="Course")
    row = old.get_model("rubric", "Rubric").objects.create(
        course=course,
        title=definition.title,
        document=write_json(definition),
        changed_by=user,
    )
    new = migrated(AFTER)
    draft = Draft.load(new.get_model("rubric", "Rubric").objects.get(pk=row.pk).draft)
    assert draft.definition() == definition
    assert draft.nodes["sheet"].by == "Ada"

    back = migrated(BEFORE).get_model("rubric", "Rubric").objects.get(pk=row.pk)
    assert read(back.document, "document") == definition
