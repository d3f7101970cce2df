"""Loads the invented school: people, rubrics, and a term's work in every state."""

from __future__ import annotations

import random
from collections.abc import Iterable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth.hashers import make_password
from ruamel.yaml import YAML

from accounts.models import Cohort, Course, Membership, User
from grading.demo.believable import Phrase as Remark
from grading.demo.term import People, Term
from grading.models import Marking, Phrase, Release
from rubric.definition import read
from rubric.models import Edition, Rubric

FIXTURES = Path(settings.BASE_DIR) / "fixtures"
PASSPHRASE = "lantern over quiet harbour"  # noqa: S105 - the demo's, printed at its start
SEED = 20261125
# How kind each of the five markers is, in the units of ability.
KINDNESS = (0.0, 0.35, -0.3, 0.1, -0.1)


def load(now: datetime) -> People:
    """Everything, with dates laid around `now`. One transaction is the caller's."""
    people = _people(now)
    heart = _edition("cardiovascular.yaml", people)
    pulse = _edition("pulse-check.yaml", people)
    remarks = _phrases(people.course, heart)
    captions = (FIXTURES / "demo" / "recording.vtt").read_text(encoding="utf-8")
    rng = random.Random(SEED)  # noqa: S311
    spring, autumn = people.course.cohorts.order_by("starts_on")
    day = timedelta(days=1)
    kindness = {m.pk: k for m, k in zip(people.instructors, KINDNESS, strict=True)}
    term = Term(people, remarks, kindness, captions, rng, SEED, now)

    final = {"title": "Final examination", "edition": heart, "purpose": "summative"}
    past = term.assignment(spring, now - 210 * day, **final)
    for student in people.cohorts[spring.title]:
        term.release(term.hand_in(past, student, ability=rng.gauss(0.1, 0.6)))

    first = term.assignment(
        autumn, now - 35 * day, title="First examination", edition=heart,
        purpose="formative", attempts=2, markers_shown=True,
    )  # fmt: skip
    abilities = {s.pk: rng.gauss(0, 0.6) for s in people.cohorts[autumn.title]}
    for student in people.cohorts[autumn.title]:
        term.release(term.hand_in(first, student, ability=abilities[student.pk]))
    again = people.cohorts[autumn.title][::4]
    for n, student in enumerate(again):
        marking = term.hand_in(
            first, student, attempt=2, ability=abilities[student.pk] + 0.7
        )
        if n % 5 != 4:  # the rest waits, overdue
            term.release(marking)

    this = term.assignment(
        autumn, now - 2 * day, hazards_confirmed_by="second", **final
    )
    for n, student in enumerate(people.cohorts[autumn.title][:-2]):
        marking = term.hand_in(
            this, student, ability=abilities[student.pk] + 0.4,
            late=timedelta(hours=5) if n == 20 else None,
        )  # fmt: skip
        _work(term, marking, n)
    term.assignment(
        autumn, now + 14 * day, title="Pulse check", edition=pulse,
        purpose="practice", attempts=5, markers_shown=True,
    )  # fmt: skip
    return people


def _work(term: Term, marking: Marking, n: int) -> None:
    """Every state of work, alike for each of the five markers, whose turn is n % 5."""
    match n // 5:
        case 0 | 1:
            term.release(marking)
        case 2:
            term.mark(marking)
        case 3:
            term.mark(marking, share=term.rng.uniform(0.2, 0.8))
        case 4:
            term.mark(marking, hazard="carotid-sinus")


def _people(now: datetime) -> People:
    said = _yaml("people.yaml")
    password = make_password(PASSPHRASE)  # once: the demo's people share it

    def users(entries: Iterable[dict[str, str]], **fields: Any) -> list[User]:
        return User.objects.bulk_create(
            User(name=e["name"], email=e["email"], password=password, **fields)
            for e in entries
        )

    (administrator,) = users([said["administrator"]], is_administrator=True)
    (lead,) = users([said["lead"]])
    instructors = users(said["instructors"])
    course = Course.objects.create(title=said["course"])
    members = [Membership(user=lead, course=course, role="lead")]
    members += [
        Membership(user=u, course=course, role="instructor") for u in instructors
    ]
    cohorts = {}
    starts = (now - timedelta(days=300), now - timedelta(days=80))
    for entry, start in zip(said["cohorts"], starts, strict=True):
        cohort = Cohort.objects.create(
            course=course, title=entry["title"], starts_on=start.date()
        )
        students = users(entry["students"])
        members += [
            Membership(user=s, course=course, role="student", cohort=cohort)
            for s in students
        ]
        cohorts[cohort.title] = students
    Membership.objects.bulk_create(members)
    return People(course, administrator, lead, instructors, cohorts)


def _edition(name: str, people: People) -> Edition:
    path = FIXTURES / "rubrics" / name
    rubric = Rubric.bring_in(
        read(path.read_bytes(), name), course=people.course, by=people.lead
    )
    return rubric.publish(by=people.lead, note="First edition")


def _phrases(course: Course, edition: Edition) -> list[Remark]:
    """Keeps the phrases of the course, element by element, and gives them back."""
    remarks = [
        Remark(entry["for"], c["kind"], tuple(c["states"]), c["text"])
        for entry in _yaml("phrases.yaml")["phrases"]
        for c in entry["comments"]
    ]
    Phrase.objects.bulk_create(
        Phrase(
            course=course,
            element=element.key,
            state=state,
            kind=remark.kind,
            text=remark.text,
        )
        for element in edition.definition.elements
        for remark in remarks
        for state in remark.states
        if remark.fits(element, state)
    )
    return remarks


def _yaml(name: str) -> Any:
    return YAML(typ="safe", pure=True).load(FIXTURES / "demo" / name)


def sign_ins() -> list[tuple[str, User]]:
    """One person of each kind to try the demo as: (what they are, who)."""
    released = Release.objects.current().order_by("-released_at")
    student = released.select_related("submission__student")[0].submission.student
    marker = User.objects.filter(memberships__role="instructor").order_by("pk")[0]
    return [
        ("instructor", marker),
        ("student", student),
        ("course lead", User.objects.get(memberships__role="lead")),
        ("administrator", User.objects.get(is_administrator=True)),
    ]
