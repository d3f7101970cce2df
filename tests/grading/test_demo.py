import io
from collections import Counter

import pytest
from django.core.management import call_command
from django.utils import timezone

from accounts.models import AuditEntry, Membership, User
from grading.models import Marking, Release, Submission


@pytest.fixture(scope="module")
def school(django_db_setup, django_db_blocker):
    """The demo loaded once for this file, and taken away after it."""
    from django.db import transaction

    with django_db_blocker.unblock(), transaction.atomic():
        call_command("demo", stdout=io.StringIO())
        yield
        transaction.set_rollback(True)


def test_the_demo_has_the_people_of_a_small_school(school):
    roles = Counter(Membership.objects.values_list("role", flat=True))
    assert roles == {"student": 85, "instructor": 5, "lead": 1}
    sizes = Counter(
        Membership.objects.filter(role="student").values_list("cohort", flat=True)
    )
    assert sorted(sizes.values()) == [41, 44]
    assert User.objects.filter(is_administrator=True).count() == 1


def test_there_is_work_in_every_state_for_each_marker(school):
    elements = 94
    for marker in User.objects.filter(memberships__role="instructor"):
        mine = Marking.objects.filter(marker=marker)
        assert mine.filter(closed=True).exists()
        assert mine.filter(closed=False, marked=elements, awaits_word=False).exists()
        assert mine.filter(closed=False, marked__range=(1, elements - 1)).exists()
        assert mine.filter(marked=0).exists()
        assert mine.filter(awaits_word=True).exists()


def test_outcomes_differ_and_attempts_are_compared(school):
    assert set(Release.objects.values_list("outcome", flat=True)) >= {"pass", "not_yet"}
    assert Submission.objects.filter(attempt=2).count() > 5
    late = [s for s in Submission.objects.select_related("assignment") if s.late_by]
    assert len(late) == 1


def test_nothing_of_the_demo_lies_in_the_future(school):
    now = timezone.now()
    assert not Release.objects.filter(released_at__gt=now).exists()
    assert not Marking.objects.filter(saved_at__gt=now).exists()
    assert not Submission.objects.filter(handed_in_at__gt=now).exists()


def test_every_release_of_the_demo_can_be_recomputed(school):
    output = io.StringIO()
    call_command("recompute", stdout=output)
    assert output.getvalue().endswith("0 differ\n")


def test_loading_twice_changes_nothing(school):
    def everything():
        return [
            list(model.objects.order_by("pk").values_list())
            for model in (User, Membership, Submission, Marking, Release, AuditEntry)
        ]

    before = everything()
    output = io.StringIO()
    call_command("demo", stdout=output)
    assert "loaded already" in output.getvalue()
    assert everything() == before


def test_one_sign_in_of_each_kind_is_printed(school, capsys):
    call_command("demo")
    printed = capsys.readouterr().out
    for words in ("instructor", "student", "course lead", "administrator", "password"):
        assert words in printed
