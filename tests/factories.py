"""The smallest valid row of each model; a test adds only what its claim needs."""

from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from uuid import uuid4

import factory
from django.utils import timezone
from factory.django import DjangoModelFactory

from accounts.models import Cohort, Course, Membership, User
from grading.models import Assignment, Marking, Release, Submission
from grading.models.change import Proposed
from rubric.definition import read
from rubric.models import NotPublished, Rubric

# A correct password for every person made here.
PASSWORD = "lantern over quiet harbour"


class UserFactory(DjangoModelFactory):
    class Meta:
        model = User
        skip_postgeneration_save = True

    name = factory.Sequence(lambda n: f"Person {n}")
    email = factory.Sequence(lambda n: f"person{n}@school.example")
    password = factory.django.Password(PASSWORD)


class CourseFactory(DjangoModelFactory):
    class Meta:
        model = Course

    title = factory.Sequence(lambda n: f"Course {n}")


class CohortFactory(DjangoModelFactory):
    class Meta:
        model = Cohort

    course = factory.SubFactory(CourseFactory)
    title = factory.Sequence(lambda n: f"Cohort {n}")
    starts_on = date(2026, 9, 1)


class MembershipFactory(DjangoModelFactory):
    """A student's; `role="instructor", cohort=None` makes another."""

    class Meta:
        model = Membership

    user = factory.SubFactory(UserFactory)
    course = factory.SubFactory(CourseFactory)
    role = "student"
    cohort = factory.SubFactory(CohortFactory, course=factory.SelfAttribute("..course"))


PULSE_CHECK = Path(__file__).parent.parent / "fixtures" / "rubrics" / "pulse-check.yaml"


def edition_of(course, text=None, by=None):
    """A published edition of the two-minute pulse check, or of another rubric's text."""
    definition = read(text or PULSE_CHECK.read_text(encoding="utf-8"), "rubric")
    by = by or UserFactory()
    rubric = Rubric.bring_in(definition, course=course, by=by)
    try:
        return rubric.publish(by=by)
    except NotPublished:  # a course has it already
        return rubric.editions.first()


class AssignmentFactory(DjangoModelFactory):
    """Open since yesterday, due tomorrow; `markers=[...]` says who marks."""

    class Meta:
        model = Assignment
        skip_postgeneration_save = True

    title = factory.Sequence(lambda n: f"Assignment {n}")
    cohort = factory.SubFactory(CohortFactory)
    edition = factory.LazyAttribute(lambda o: edition_of(o.cohort.course))
    purpose = "summative"
    opens_at = factory.LazyFunction(lambda: timezone.now() - timedelta(days=1))
    due_at = factory.LazyFunction(lambda: timezone.now() + timedelta(days=1))
    return_at = factory.LazyFunction(lambda: timezone.now() + timedelta(days=8))

    @factory.post_generation
    def markers(self, create, extracted, **kwargs):
        self.markers.set(extracted or [])


class SubmissionFactory(DjangoModelFactory):
    class Meta:
        model = Submission

    assignment = factory.SubFactory(AssignmentFactory)
    student = factory.LazyAttribute(
        lambda o: (
            MembershipFactory(
                course=o.assignment.course, cohort=o.assignment.cohort
            ).user
        )
    )
    attempt = 1
    number = factory.Sequence(lambda n: n + 1)
    link = "https://recordings.demo.invalid/one.webm"
    length_seconds = Decimal(120)
    consent = "The volunteer agreed."


class MarkingFactory(DjangoModelFactory):
    class Meta:
        model = Marking

    submission = factory.SubFactory(SubmissionFactory)
    marker = factory.LazyAttribute(
        lambda o: (
            MembershipFactory(
                course=o.submission.assignment.course, role="instructor", cohort=None
            ).user
        )
    )


def change(marking, target, value, after=None):
    """A change as the desk would send it, made knowing what stands now."""
    stands = marking.targets.get(target)
    return Proposed(uuid4(), target, after or (stands and stands["change"]), value)


def mark_all(marking, **states):
    """Mark every element done a second apart, or as `states` says by key, and rate it."""
    definition = marking.definition
    changes = []
    for i, element in enumerate(definition.elements):
        value = {"state": states.get(element.key, "done"), "at": float(i)}
        if element.levels:
            value |= {"state": "level", "level": len(element.levels)}
        changes.append(change(marking, f"element:{element.key}", value))
    if definition.global_rating:
        changes.append(change(marking, "rating", {"value": 3}))
    saved = marking.record(changes, by=marking.marker)
    assert not saved.refused
    return marking


def released(marking=None, by=None, **states):
    """A release of a whole marking."""
    marking = mark_all(marking or MarkingFactory(), **states)
    return Release.of_marking(marking, by=by or marking.marker)
