"""Elements across editions: compared and pooled only where they mean the same."""

import pytest

from rubric.models import Edition
from tests.factories import (
    PULSE_CHECK,
    AssignmentFactory,
    CohortFactory,
    CourseFactory,
    edition_of,
)
from tests.grading.cohorts import HYGIENE, page, release_many, row_of, table

CONSENT = "opening.consent"
TEXT = PULSE_CHECK.read_text(encoding="utf-8")


def next_edition(edition, text=TEXT, **lineage):
    """Another edition of the same rubric; `lineage` by key with dots as `__`."""
    found = edition_of(CourseFactory(), text)
    return Edition.objects.create(
        rubric=edition.rubric,
        number=edition.number + 1,
        title=found.title,
        document=found.document,
        digest=found.digest,
        lineage={key.replace("__", "."): token for key, token in lineage.items()},
        published_by=edition.published_by,
    )


@pytest.fixture
def spring(course, instructor):
    cohort = CohortFactory(course=course, title="Spring, section A")
    found = AssignmentFactory(
        cohort=cohort, edition=edition_of(course), markers=[instructor]
    )
    release_many(found, instructor, 12, 3)
    return found


@pytest.fixture
def autumn(cohort, instructor, spring):
    """The next edition: cleaning hands now means something else."""
    edition = next_edition(spring.edition, opening__hygiene="opening.hygiene/2")
    found = AssignmentFactory(cohort=cohort, edition=edition, markers=[instructor])
    release_many(found, instructor, 12, 6)
    return found


def test_what_changed_its_meaning_is_not_compared_and_is_named(
    client_of, lead, autumn, spring
):
    row = row_of(client_of(lead), "cohort_csv", autumn.cohort, against=spring.pk)
    assert (row["rate"], row["other_rate"], row["difference"]) == ("0.5", "", "")
    text = page(client_of(lead), "cohort", autumn.cohort, against=spring.pk)
    assert "Not compared: 1 element that the two editions do not share" in text
    assert "means something else in edition 1" in text


def test_what_kept_its_meaning_is_compared(client_of, lead, autumn, spring):
    query = {"element": CONSENT, "against": spring.pk}
    row = row_of(client_of(lead), "cohort_csv", autumn.cohort, **query)
    assert (row["other_rate"], row["difference"]) == ("0.0", "0.0")


def test_q_counts_the_elements_compared_alone(client_of, lead, autumn, spring):
    rows = table(client_of(lead), "cohort_csv", autumn.cohort, against=spring.pk)
    assert {row["q"] for row in rows if row["element"] != HYGIENE} == {"1.0"}


def test_an_element_with_a_new_key_and_the_old_meaning_is_compared(
    client_of, lead, cohort, instructor, spring
):
    text = TEXT.replace("opening.hygiene", "opening.hands")
    assert text != TEXT
    edition = next_edition(spring.edition, text, opening__hands=HYGIENE)
    renamed = AssignmentFactory(cohort=cohort, edition=edition, markers=[instructor])
    release_many(renamed, instructor, 12)
    query = {"element": "opening.hands", "against": spring.pk}
    row = row_of(client_of(lead), "cohort_csv", cohort, **query)
    assert (row["other_rate"], row["difference"]) == ("0.25", "-0.25")


def test_what_only_one_edition_has_is_named(
    client_of, lead, cohort, instructor, spring
):
    text = TEXT.replace("opening.hygiene", "opening.hands")
    edition = next_edition(spring.edition, text)
    other = AssignmentFactory(cohort=cohort, edition=edition, markers=[instructor])
    release_many(other, instructor, 12)
    text = page(client_of(lead), "cohort", cohort, against=spring.pk)
    assert "only in edition 1" in text
    assert "only in edition 2" in text


def test_sections_are_shown_over_what_every_edition_shares(
    client_of, lead, autumn, spring
):
    text = page(client_of(lead), "cohort", autumn.cohort)
    assert "Not counted here: 1 element" in text
    strip = text[text.index("The same as a table") :]
    opening = strip[strip.index("Opening") :]
    assert opening[: opening.index("</tr>")].count("0%") == 2


def test_cohorts_are_charted_together_only_where_the_element_means_the_same(
    client_of, lead, autumn, spring
):
    query = {"element": HYGIENE}
    rows = table(client_of(lead), "cohort_charts_csv", autumn.cohort, **query)
    assert [row["group"] for row in rows if row["kind"] == "cohort"] == [str(autumn)]
    text = page(client_of(lead), "cohort_charts", autumn.cohort, **query)
    assert f"means something else there: {spring} (edition 1)" in text


def test_the_marks_go_by_what_an_element_means(client_of, lead, autumn, spring):
    rows = table(client_of(lead), "cohort_marks_csv", autumn.cohort, against=spring.pk)
    names = {row["cohort"]: set() for row in rows}
    for row in rows:
        names[row["cohort"]].add(row["element"])
    assert names[str(autumn)] ^ names[str(spring)] == {HYGIENE, "opening.hygiene/2"}
