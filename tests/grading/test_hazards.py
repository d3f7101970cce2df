import pytest
from django.urls import reverse

from accounts.models import Membership
from grading.models import Release
from grading.models.release import Incomplete
from tests.factories import (
    AssignmentFactory,
    MarkingFactory,
    SubmissionFactory,
    UserFactory,
    change,
    mark_all,
)


@pytest.fixture
def second(course):
    person = UserFactory(name="Second Person")
    Membership.objects.create(user=person, course=course, role="instructor")
    return person


@pytest.fixture
def marking(cohort, instructor):
    assignment = AssignmentFactory(cohort=cohort, hazards_confirmed_by="second")
    marking = MarkingFactory(
        submission=SubmissionFactory(assignment=assignment), marker=instructor
    )
    mark_all(marking)
    marking.record(
        [change(marking, "sighting:s1", {"rule": "carried-on", "at": 61})],
        by=instructor,
    )
    return marking


def give_word(client, marking, word, sighting="s1"):
    return client.post(
        reverse("grading:hazard_word", args=[marking.pk, sighting]), {"word": word}
    )


def test_a_sighting_waits_for_a_second_person_and_holds_the_release(
    client_of, marking, second
):
    with pytest.raises(Incomplete):
        Release.of_marking(marking, by=marking.marker)
    page = client_of(second).get(reverse("grading:hazards")).content.decode()
    assert "Carries on after the volunteer shows pain" in page
    assert "1:01" in page
    assert marking.submission.student.name not in page


def test_a_confirmed_hazard_fails(client_of, marking, second):
    give_word(client_of(second), marking, "confirmed")
    assert Release.of_marking(marking, by=marking.marker).outcome == "not_yet"


def test_a_rejected_sighting_counts_for_nothing(client_of, marking, second):
    give_word(client_of(second), marking, "rejected")
    assert Release.of_marking(marking, by=marking.marker).outcome == "pass"


def test_the_marker_cannot_confirm_their_own_sighting(client_of, marking, instructor):
    assert give_word(client_of(instructor), marking, "confirmed").status_code == 404


def test_a_word_holds_only_for_the_sighting_as_it_was(client_of, marking, second):
    give_word(client_of(second), marking, "confirmed")
    marking.refresh_from_db()
    marking.record(
        [change(marking, "sighting:s1", {"rule": "carried-on", "at": 90})],
        by=marking.marker,
    )
    assert marking.sightings()["s1"][1] == "awaiting"


@pytest.mark.parametrize(("word", "sighting"), [("maybe", "s1"), ("confirmed", "s2")])
def test_a_word_that_cannot_be_taken_changes_nothing(
    client_of, marking, second, word, sighting
):
    response = give_word(client_of(second), marking, word, sighting)
    page = client_of(second).get(response.url)
    marking.refresh_from_db()
    assert page.status_code == 200
    assert marking.sightings()["s1"][1] == "awaiting"
