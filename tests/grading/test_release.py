import io

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction

from accounts.models import AuditEntry
from grading.models import Release, ReleaseDocument
from grading.models.marking import Closed
from grading.models.release import Incomplete
from grading.statistics.states import unpack, unpack_moments
from tests.factories import MarkingFactory, change, mark_all, released


@pytest.fixture
def marking(db):
    return MarkingFactory()


def test_a_release_packs_states_and_moments_in_the_editions_order(marking):
    release = released(marking, **{"opening.hygiene": "missed"})
    keys = [e.key for e in marking.definition.elements]
    states = dict(zip(keys, unpack(bytes(release.states)), strict=True))
    assert states["opening.hygiene"] == ("missed", None)
    assert states["manner.explains"] == ("level", 3)
    assert unpack_moments(bytes(release.moments))[:3] == [0, 1000, 2000]


def test_an_incomplete_marking_is_refused_and_says_what_is_open(marking):
    mark_all(marking)
    marking.record([change(marking, "rating", None)], by=marking.marker)
    with pytest.raises(Incomplete) as refused:
        Release.of_marking(marking, by=marking.marker)
    assert refused.value.result.open.global_rating
    assert not Release.objects.exists()
    marking.refresh_from_db()
    assert not marking.closed


def test_a_released_marking_takes_no_change(marking):
    released(marking)
    with pytest.raises(Closed):
        marking.record([change(marking, "rating", {"value": 1})], by=marking.marker)
    with pytest.raises(Closed):
        Release.of_marking(marking, by=marking.marker)


def test_a_correction_is_a_new_release_that_keeps_the_old(marking):
    first = released(marking, **{"opening.hygiene": "missed"})
    marking.reopen(by=marking.marker, reason="Hands were cleaned off camera")
    marking.record(
        [change(marking, "element:opening.hygiene", {"state": "done", "at": 3})],
        by=marking.marker,
    )
    second = Release.of_marking(marking, by=marking.marker, reason="Hands were cleaned")
    assert second.corrects == first
    assert list(Release.objects.current()) == [second]
    assert bytes(Release.objects.get(pk=first.pk).states) != bytes(second.states)


def test_two_first_releases_of_one_submission_cannot_be(marking):
    release = released(marking)
    release.pk = None
    with pytest.raises(IntegrityError), transaction.atomic():
        release.save(force_insert=True)


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE grading_release SET outcome = 'pass'",
        "UPDATE grading_releasedocument SET text = '{}'",
        "UPDATE rubric_edition SET title = 'Another'",
        "UPDATE grading_change SET target = 'rating'",
    ],
)
def test_the_store_itself_refuses_to_change_what_is_frozen(marking, sql):
    released(marking)
    with (
        pytest.raises(IntegrityError, match="is frozen: UPDATE refused"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(sql)


def test_every_release_is_recomputed_to_the_same_bytes(marking):
    released(marking, **{"pulses.palpate.radial.left": "partly"})
    output = io.StringIO()
    call_command("recompute", stdout=output)
    assert output.getvalue() == "1 releases recomputed, 0 differ\n"


def test_recompute_names_a_release_that_differs(marking):
    release = released(marking)
    text = release.document.text.replace('"done"', '"missed"', 1)
    ReleaseDocument.objects.filter(pk=release.pk).delete()
    ReleaseDocument.objects.create(release=release, text=text)
    errors = io.StringIO()
    with pytest.raises(SystemExit):
        call_command("recompute", stdout=io.StringIO(), stderr=errors)
    assert f"release {release.pk}: states" in errors.getvalue()


def test_a_release_is_audited(marking):
    release = released(marking)
    entry = AuditEntry.objects.get(verb="released")
    assert entry.about == f"release {release.pk}"
    assert entry.actor == marking.marker


def test_comments_are_frozen_in_time_order_without_empty_ones(marking):
    mark_all(marking)
    marking.record(
        [
            change(
                marking,
                "comment:b",
                {"element": None, "at": 9, "kind": "improve", "text": "Later"},
            ),
            change(
                marking,
                "comment:a",
                {"element": None, "at": None, "kind": "strength", "text": "Whole"},
            ),
            change(
                marking,
                "comment:c",
                {"element": None, "at": 2, "kind": "question", "text": "Early"},
            ),
            change(
                marking,
                "comment:d",
                {"element": None, "at": 1, "kind": "question", "text": "  "},
            ),
        ],
        by=marking.marker,
    )
    release = Release.of_marking(marking, by=marking.marker)
    texts = [c["text"] for c in release.document.contents["comments"]]
    assert texts == ["Early", "Later", "Whole"]
