"""What every test may use: settings for tests and the standing people.

student, classmate    students of one cohort of `course`
instructor, lead      of `course`
other_instructor      of another course
administrator         runs the site, is in no course
stranger              has signed in, is in no course
"""

import os
from uuid import uuid4

import pytest
from django.test import override_settings
from hypothesis import settings as hypothesis

from accounts.models import Membership
from tests import factories
from tests.pages import PageClient

# No deadline: a busy machine is no fault of the code. Fifty examples, drawn anew in
# every run on each store: a hundred took the run past its quarter of an hour.
hypothesis.register_profile("bellside", deadline=None, max_examples=50)
hypothesis.load_profile("bellside")


@pytest.fixture(autouse=True, scope="session")
def _settings_for_tests(tmp_path_factory):
    with override_settings(
        STORAGES={
            "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
            # Hashed names need collectstatic, which has its own test.
            "staticfiles": {
                "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
            },
        },
        STATIC_ROOT=tmp_path_factory.mktemp("static"),
        WHITENOISE_AUTOREFRESH=True,
        WHITENOISE_USE_FINDERS=True,
        # Argon2 is slow by design; the tests of passwords ask for it.
        PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"],
        # Rate limits are counted in memory, and only where a test is about them.
        CACHES={"default": {"BACKEND": "django.core.cache.backends.dummy.DummyCache"}},
    ):
        yield


@pytest.fixture
def client():
    return PageClient()


@pytest.fixture
def client_of():
    """A signed-in client: `client_of(lead).get("/")`."""

    def make(person, **options):
        client = PageClient(**options)
        if person is not None:
            client.force_login(person)
        return client

    return make


@pytest.fixture
def course(db):
    return factories.CourseFactory(title="Health assessment")


@pytest.fixture
def cohort(course):
    return factories.CohortFactory(course=course, title="Autumn, section B")


@pytest.fixture
def other_course(db):
    return factories.CourseFactory(title="Paediatric assessment")


def _member(name, course, role, cohort=None):
    user = factories.UserFactory(
        name=name, email=f"{name.split()[0].lower()}@school.example"
    )
    Membership.objects.create(user=user, course=course, role=role, cohort=cohort)
    return user


@pytest.fixture
def student(course, cohort):
    return _member("Sana Whitlock", course, "student", cohort)


@pytest.fixture
def classmate(course, cohort):
    return _member("Cleo Marsh", course, "student", cohort)


@pytest.fixture
def instructor(course):
    return _member("Ivo Pell", course, "instructor")


@pytest.fixture
def other_instructor(other_course):
    return _member("Odile Rask", other_course, "instructor")


@pytest.fixture
def lead(course):
    return _member("Lena Voss", course, "lead")


@pytest.fixture
def administrator(db):
    return factories.UserFactory(
        name="Abel Quist", email="abel@school.example", is_administrator=True
    )


@pytest.fixture
def stranger(db):
    return factories.UserFactory(name="Stig Nyland", email="stig@school.example")


@pytest.fixture
def database(tmp_path):
    """The address of an empty database for processes of their own: SQLite, or beside
    the one that the tests run on.
    """
    given = os.environ.get("BELLSIDE_DATABASE", "")
    if not given.startswith("postgresql"):
        yield f"sqlite:///{tmp_path}/another.sqlite3"
        return
    import psycopg

    name = f"another_{uuid4().hex}"
    with psycopg.connect(given, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    yield f"{given.rpartition('/')[0]}/{name}"
    with psycopg.connect(given, autocommit=True) as connection:
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")
