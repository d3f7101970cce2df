"""The smallest valid row of each model; a test adds only what its claim needs."""

from datetime import date

import factory
from factory.django import DjangoModelFactory

from accounts.models import Cohort, Course, Membership, User

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
