"""Editions: frozen, and deleted only while nothing refers to them."""

import pytest
from django.db import IntegrityError, connection, transaction
from django.urls import reverse

from accounts.models import AuditEntry
from rubric.models import Edition
from tests import factories
from tests.rubric.rubrics import become


def delete(client, edition):
    return client.post(reverse("rubric:edition_delete", args=[edition.pk]))


def test_an_edition_to_which_nothing_refers_is_deleted(client_of, instructor, course):
    edition = factories.edition_of(course)
    response = delete(client_of(instructor), edition)
    assert response.url == edition.rubric.get_absolute_url()
    assert not Edition.objects.exists()
    entry = AuditEntry.objects.get(verb="deleted edition")
    assert (entry.actor, entry.about) == (instructor, f"edition {edition.pk}")
    assert edition.digest in entry.detail


def test_an_edition_that_is_set_is_not_deleted_and_the_page_says_why(
    client_of, instructor, cohort
):
    edition = factories.AssignmentFactory(cohort=cohort).edition
    response = delete(client_of(instructor), edition)
    assert response.status_code == 409
    assert "1 assignment refers to it" in response.content.decode()
    assert Edition.objects.get() == edition
    assert not AuditEntry.objects.filter(verb="deleted edition").exists()


def test_the_store_itself_refuses_to_delete_what_is_referred_to(cohort):
    edition = factories.AssignmentFactory(cohort=cohort).edition
    with pytest.raises(IntegrityError), transaction.atomic():
        delete_in_the_store(edition)


def delete_in_the_store(edition):
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM rubric_edition WHERE id = %s", [edition.pk])
    connection.check_constraints()  # as at the end of a transaction


def test_the_number_of_a_deleted_edition_is_not_given_again(
    client_of, instructor, course
):
    rubric = factories.edition_of(course).rubric
    become(rubric, instructor, ("points: 2", "points: 3"))
    second = rubric.publish(by=instructor)
    delete(client_of(instructor), second)
    assert rubric.publish(by=instructor).number == 3
