"""An edition's row stays frozen when its table gets another column."""

import pytest
from django.db import IntegrityError, connection, transaction

from rubric.models import Edition
from tests.factories import edition_of
from tests.rubric.stores import migrate

BEFORE = ("rubric", "0002_editions_are_frozen")
COLUMN = ("rubric", "0003_editions_say_what_kept_its_meaning")
FROZEN = "is frozen: UPDATE refused"


def an_edition(apps, store):
    def make(model, **fields):
        return apps.get_model(model).objects.using(store).create(**fields)

    by = make("accounts.User", email="ada@b.example", name="Ada")
    course = make("accounts.Course", title="Health assessment")
    rubric = make("rubric.Rubric", course=course, title="Pulses", changed_by=by)
    return make("rubric.Edition", rubric=rubric, number=7, published_by=by)


@pytest.mark.parametrize("way", [[COLUMN], [COLUMN, BEFORE]], ids=["on", "back"])
def test_an_edition_stays_as_it_is_and_frozen_when_a_column_comes_or_goes(
    empty_store, way
):
    edition = an_edition(migrate(empty_store, BEFORE), empty_store)
    for target in way:
        apps = migrate(empty_store, target)
    rows = apps.get_model("rubric.Edition").objects.using(empty_store)
    assert rows.get().published_at == edition.published_at
    assert getattr(rows.get(), "lineage", {}) == {}
    with (
        pytest.raises(IntegrityError, match=FROZEN),
        transaction.atomic(using=empty_store),
    ):
        rows.update(number=2)


def test_numbers_go_on_from_the_newest_edition_of_before(empty_store):
    edition = an_edition(migrate(empty_store, BEFORE), empty_store)
    rubrics = migrate(empty_store, COLUMN).get_model("rubric.Rubric").objects
    assert rubrics.using(empty_store).get().last_number == edition.number == 7


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE rubric_edition SET document = '{}'",
        "UPDATE rubric_edition SET lineage = '{}'",
    ],
)
def test_the_store_refuses_to_change_an_edition(course, sql):
    edition_of(course)
    with (
        pytest.raises(IntegrityError, match=FROZEN),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(sql)


def test_an_element_keeps_its_token_unless_the_lineage_says_another(course):
    edition = edition_of(course)
    edition.lineage = {"opening.consent": "opening.permission"}
    tokens = edition.tokens()
    assert tokens["opening.consent"] == "opening.permission"
    assert tokens["opening.hygiene"] == "opening.hygiene"
    assert list(tokens) == list(edition.definition.index)
    assert Edition.objects.get().lineage == {}
