"""A release to read, made as a marker makes it."""

from decimal import Decimal

from grading.models import Marking, Release
from tests.factories import (
    AssignmentFactory,
    MarkingFactory,
    SubmissionFactory,
    change,
    edition_of,
    mark_all,
)

CONSENT, HANDS = "opening.consent", "opening.hygiene"
LEFT, RIGHT = "pulses.palpate.radial.left", "pulses.palpate.radial.right"
FOOT, FOOT_RIGHT = (
    "pulses.palpate.dorsalis-pedis.left",
    "pulses.palpate.dorsalis-pedis.right",
)


def release_for(student, cohort, marker, states=None, **options):
    """A release of the pulse check: all done but `states`, by key.

    options: `more` are further (target, value) of the sheet, `rubric` another rubric's
    text, `submission` and `assignment` their fields.
    """
    sheet = marking_for(student, cohort, marker, states, **options)
    return Release.of_marking(sheet, by=marker)


def marking_for(
    student,
    cohort,
    marker,
    states=None,
    more=(),
    rubric=None,
    submission=(),
    **assignment,
):
    given = assignment.pop("assignment", None) or AssignmentFactory(
        cohort=cohort, edition=edition_of(cohort.course, rubric), **assignment
    )
    handed_in = {"length_seconds": Decimal(120), **dict(submission)}
    sheet = MarkingFactory(
        submission=SubmissionFactory(assignment=given, student=student, **handed_in),
        marker=marker,
    )
    mark_all(sheet, **(states or {}))
    record(sheet, *more)
    return sheet


def record(sheet, *targets):
    saved = sheet.record([change(sheet, *one) for one in targets], by=sheet.marker)
    assert not saved.refused


def correct(release, *targets, reason="Looked again."):
    """A new release in the place of this one, with these targets changed."""
    sheet = Marking.objects.get(pk=release.marking_id)
    sheet.reopen(by=sheet.marker, reason=reason)
    record(sheet, *targets)
    return Release.of_marking(sheet, by=sheet.marker, reason=reason)


def comment(ident, text, element=None, at=None, kind="improve"):
    value = {"element": element, "at": at, "kind": kind, "text": text}
    return f"comment:{ident}", value


def rubric_of(elements):
    """The text of a rubric with so many elements in sections of ten."""
    lines = [
        "format: bellside-rubric/1",
        "title: Long",
        "pass_percent: 50",
        "sections:",
    ]
    for number in range(elements):
        if number % 10 == 0:
            key = f"s{number // 10}"
            lines += [f"  - key: {key}", f"    title: Part {key}", "    elements:"]
        lines += [
            f"      - {{key: {key}.e{number}, text: Step {number}, technique: inspect,"
            " points: 1, critical: flag}"
        ]
    return "\n".join(lines)
