"""What the cohort page and agreement cost; figures are printed, not asserted.

Goals: the page of 120 students x 120 elements x 3 attempts under 1 s, from under 15
questions to the store (which is a test of every run).
"""

from time import perf_counter

import numpy as np
import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from grading.statistics import resample
from grading.statistics.agreement import agreement
from tests import factories
from tests.cost.filling import fill

STUDENTS, ELEMENTS, ATTEMPTS = 120, 120, 3
PAGES = ("cohort", "cohort_attempts", "cohort_charts")


def rubric_text():
    head = factories.PULSE_CHECK.read_text("utf-8").partition("sections:")[0]
    lines = [head.partition("rules:")[0], "sections:\n"]
    for section in range(10):
        lines.append(
            f"  - key: part{section}\n    title: Part {section}\n    elements:\n"
        )
        lines += [
            f"      - key: part{section}.act{n}\n        text: Act {n} of part {section}\n"
            "        technique: inspect\n        points: 1\n"
            for n in range(ELEMENTS // 10)
        ]
    return "".join(lines)


@pytest.fixture
def assignment(course, cohort, lead):
    markers = [
        factories.MembershipFactory(course=course, role="instructor", cohort=None).user
        for _ in range(8)
    ]
    edition = factories.edition_of(course, rubric_text())
    assert len(edition.definition.elements) == ELEMENTS
    made = [
        factories.AssignmentFactory(
            cohort=where, edition=edition, markers=markers, attempts=ATTEMPTS
        )
        for where in (cohort, factories.CohortFactory(course=course))
    ]
    for n, one in enumerate(made):
        fill(one, STUDENTS, ATTEMPTS, markers, first=n * STUDENTS)
    return made


def address(name, made):
    one, other = made
    query = f"assignment={one.pk}&against={other.pk}&attempt=all"
    return f"{reverse(f'grading:{name}', args=[one.cohort_id])}?{query}"


@pytest.mark.parametrize("name", PAGES)
def test_a_full_cohort_takes_fewer_than_fifteen_questions(
    name, client_of, lead, assignment
):
    client = client_of(lead)
    with CaptureQueriesContext(connection) as asked:
        assert client.get(address(name, assignment)).status_code == 200
    assert len(asked) < 15


@pytest.mark.benchmark
@pytest.mark.parametrize("name", PAGES)
def test_the_page_of_a_full_cohort(name, lead, assignment):
    client = Client()  # one that does not check the page, which takes longer
    client.force_login(lead)
    found = []
    for _ in range(5):
        begun = perf_counter()
        page = client.get(address(name, assignment))
        found.append(perf_counter() - begun)
    print(  # noqa: T201
        f"\n{name}: {STUDENTS} students x {ELEMENTS} elements x {ATTEMPTS} attempts: "
        f"{min(found) * 1000:.0f} ms, {len(page.content) // 1024} KB"
    )


@pytest.mark.benchmark
def test_agreement_with_its_resamples():
    ratings = np.random.default_rng(1).integers(0, 4, (120, 8))

    def least(act):
        times = []
        for _ in range(5):
            begun = perf_counter()
            act()
            times.append(perf_counter() - begun)
        return min(times)

    whole = least(lambda: agreement(ratings, 4, ordered=True))
    drawing = least(lambda: list(resample.weights(120)))
    print(  # noqa: T201
        f"\n120 subjects x 8 raters, {resample.DRAWS:,} resamples: all nine coefficients "
        f"{whole * 1000:.0f} ms; the resamples alone {drawing * 1000:.0f} ms: "
        f"ratio {whole / drawing:.1f}"
    )
