from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from grading.models import Marking
from grading.queue import in_order, pace, predicted_minutes
from tests.factories import (
    AssignmentFactory,
    MarkingFactory,
    SubmissionFactory,
    change,
    released,
)

HOME = "/"


def marking_for(instructor, assignment, **fields):
    return MarkingFactory(
        submission=SubmissionFactory(assignment=assignment, **fields), marker=instructor
    )


@pytest.fixture
def assignment(cohort, instructor):
    return AssignmentFactory(cohort=cohort, markers=[instructor])


def test_a_student_sees_what_is_open_and_what_came_back(
    client_of, student, instructor, assignment
):
    page = client_of(student).get(HOME).content.decode()
    assert "Hand in your recording" in page
    release = released(marking_for(instructor, assignment, student=student))
    page = client_of(student).get(HOME).content.decode()
    assert release.get_absolute_url() in page
    assert "Hand in" not in page


def test_a_student_whose_time_is_past_is_told_that_it_is_late(
    client_of, student, cohort
):
    now = timezone.now()
    AssignmentFactory(cohort=cohort, due_at=now - timedelta(hours=1), return_at=now)
    page = client_of(student).get(HOME).content.decode()
    assert "Hand in your recording, late" in page
    assert "was due" in page


def test_a_student_sees_no_assignment_before_it_opens(client_of, student, cohort):
    tomorrow = timezone.now() + timedelta(days=1)
    AssignmentFactory(
        cohort=cohort,
        title="Soon",
        opens_at=tomorrow,
        due_at=tomorrow + timedelta(1),
        return_at=tomorrow + timedelta(2),
    )
    assert "Soon" not in client_of(student).get(HOME).content.decode()


def test_the_queue_hides_names_where_the_assignment_does(
    client_of, student, instructor, assignment
):
    marking = marking_for(instructor, assignment, student=student)
    page = client_of(instructor).get(HOME).content.decode()
    assert f"Submission {marking.submission.number}" in page
    assert student.name not in page


def test_overdue_comes_first_and_then_the_lot_of_the_batch(instructor, cohort):
    now = timezone.now()
    batch = AssignmentFactory(cohort=cohort, seed=7)
    overdue = AssignmentFactory(
        cohort=cohort,
        opens_at=now - timedelta(9),
        due_at=now - timedelta(8),
        return_at=now - timedelta(1),
    )
    later = [marking_for(instructor, batch) for _ in range(6)]
    first = marking_for(instructor, overdue)
    order = in_order(Marking.objects.queue_of(instructor), now)
    assert order[0] == first
    assert set(order[1:]) == set(later)
    assert order == in_order(reversed(order), now)
    batch.seed = 8
    batch.save(update_fields=["seed"])
    assert in_order(Marking.objects.queue_of(instructor), now) != order


def test_predicted_minutes_come_from_ones_own_pace(client_of, instructor, assignment):
    done = marking_for(instructor, assignment, length_seconds=Decimal(600))
    released(done)
    Marking.objects.filter(pk=done.pk).update(worked_seconds=900)
    marking_for(instructor, assignment, length_seconds=Decimal(800))
    page = client_of(instructor).get(HOME).content.decode()
    assert "20 min" in page
    assert "about 20 min at your own pace" in page


def test_without_a_finished_marking_no_minutes_are_invented(
    client_of, instructor, assignment
):
    marking_for(instructor, assignment)
    page = client_of(instructor).get(HOME).content.decode()
    assert "Predicted minutes appear once" in page


def test_what_is_half_done_comes_before_what_is_not_begun(
    client_of, instructor, assignment
):
    for _ in range(3):
        marking_for(instructor, assignment)
    last = in_order(Marking.objects.queue_of(instructor), timezone.now())[-1]
    last.record(
        [change(last, "element:opening.consent", {"state": "done", "at": 1})],
        by=instructor,
    )
    page = client_of(instructor).get(HOME).content.decode()
    assert "half done" in page
    assert page.index(last.get_absolute_url()) == page.index("/markings/")


def test_pace_is_a_median_of_those_that_tell_both():
    assert pace([(900, Decimal(600)), (600, Decimal(600)), (60, None)]) == 1.25
    assert pace([(0, Decimal(600))]) is None
    assert predicted_minutes(1.25, Decimal(1200), 0.5) == 12
    assert predicted_minutes(1.25, None) is None


def test_a_lead_sees_how_far_each_assignment_is(
    client_of, lead, student, classmate, instructor, assignment
):
    released(marking_for(instructor, assignment, student=student))
    marking_for(instructor, assignment, student=classmate)
    page = " ".join(client_of(lead).get(HOME).content.decode().split())
    assert "2 of 2" in page
    assert "1 of 1" in page
    assert "shown from 10 students on" in page


def test_a_lead_sees_the_worst_three_from_ten_releases_on(
    client_of, lead, instructor, assignment
):
    for n in range(10):
        marking = marking_for(instructor, assignment)
        released(marking, **({"opening.hygiene": "missed"} if n < 4 else {}))
    page = client_of(lead).get(HOME).content.decode()
    assert "Cleans hands in view" in page
    assert "4 of 10" in page


@pytest.mark.parametrize("who", ["student", "instructor", "lead"])
def test_home_asks_the_store_no_more_often_for_thirty_rows(
    request,
    who,
    client_of,
    cohort,
    instructor,
    django_assert_num_queries,
    django_assert_max_num_queries,
):
    person = request.getfixturevalue(who)
    client = client_of(person)

    def rows(n):
        for i in range(n):
            assignment = AssignmentFactory(cohort=cohort, markers=[instructor])
            mine = {"student": person} if who == "student" else {}
            marking = marking_for(instructor, assignment, **mine)
            if i % 2:
                released(marking)

    rows(2)
    client.get(HOME)
    with django_assert_max_num_queries(40) as few:
        client.get(HOME)
    count = len(few)
    rows(28)
    client.get(reverse("grading:home"))
    with django_assert_num_queries(count):
        client.get(HOME)
