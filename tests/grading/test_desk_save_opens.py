import pytest

from grading.models import Marking
from tests.factories import AssignmentFactory, MarkingFactory, SubmissionFactory


@pytest.fixture
def marking(cohort, instructor, student):
    assignment = AssignmentFactory(cohort=cohort, markers=[instructor])
    submission = SubmissionFactory(assignment=assignment, student=student)
    return MarkingFactory(submission=submission, marker=instructor)


@pytest.mark.parametrize(
    "who",
    ["student", "instructor", "lead", "other_instructor", "administrator", "stranger"],
)
def test_a_save_opens_exactly_what_the_person_may_see(who, marking, request):
    person = request.getfixturevalue(who)
    seen = Marking.objects.visible_to(person).for_desk().filter(pk=marking.pk).first()
    opened = Marking.objects.for_save(marking.pk, by=person)
    assert opened == seen
    if seen:
        assert opened.submission.length_seconds == seen.submission.length_seconds
        assert opened.assignment.course == seen.assignment.course
        assert opened.definition == seen.definition


def test_a_save_opens_no_other_marking_than_the_one_asked_for(marking, instructor):
    other = MarkingFactory(marker=instructor)
    assert Marking.objects.for_save(marking.pk, by=instructor).pk == marking.pk
    assert Marking.objects.for_save(other.pk + 1000, by=instructor) is None
