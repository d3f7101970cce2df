import pytest

from tests.factories import edition_of


@pytest.fixture
def rubric(course, instructor):
    """The pulse check with its first edition."""
    return edition_of(course, by=instructor).rubric
