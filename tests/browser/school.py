"""Makes what a browser meets, in the database that its server runs on.

python -m tests.browser.school marking     makes one marking and prints it
python -m tests.browser.school kept        prints what is kept of it
python -m tests.browser.school             answers one JSON line for each it reads:
                                           ["name of a function below", {arguments}]
"""

import json
import os
import sys
from decimal import Decimal
from pathlib import Path

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "accounts.site.settings")
django.setup()

from allauth.account.forms import (  # noqa: E402 (needs the settings)
    EmailAwarePasswordResetTokenGenerator,
)
from allauth.account.utils import user_pk_to_url_str  # noqa: E402
from django.conf import settings  # noqa: E402
from django.contrib.auth import (  # noqa: E402
    BACKEND_SESSION_KEY,
    HASH_SESSION_KEY,
    SESSION_KEY,
)
from django.contrib.sessions.backends.db import SessionStore  # noqa: E402
from django.contrib.sessions.models import Session  # noqa: E402
from django.middleware.csrf import _get_new_csrf_string  # noqa: E402
from django.urls import reverse  # noqa: E402

from accounts.models import AuditEntry, Course, Invitation, Membership, User  # noqa: E402
from grading.models import Change, Marking, Release  # noqa: E402
from rubric.definition import Draft, read  # noqa: E402
from rubric.models import Rubric  # noqa: E402
from tests import factories  # noqa: E402

FIXTURES = Path(settings.BASE_DIR) / "fixtures"


def course():
    found = Course.objects.first()
    return found or factories.CourseFactory(title="Health assessment")


def cohort():
    found = course().cohorts.first()
    return found or factories.CohortFactory(course=course(), title="Autumn, section B")


def member(name="Ivo Pell", role="instructor"):
    """The person with this name; made with the role in the course where there is none."""
    email = f"{name.split()[0].lower()}@school.example"
    found = User.objects.filter(email=email).first()
    if found:
        return found
    user = factories.UserFactory(name=name, email=email)
    Membership.objects.create(
        user=user,
        course=course(),
        role=role,
        cohort=cohort() if role == "student" else None,
    )
    return user


def person(**described):
    user = member(**described)
    return {"person": user.pk, "email": user.email, "password": factories.PASSWORD}


def session(name="Ivo Pell", role="instructor"):
    """A signed-in session of this person."""
    return session_of(member(name, role).email)


def session_of(email):
    user = User.objects.get(email=email)
    store = SessionStore()
    store[SESSION_KEY] = str(user.pk)
    store[BACKEND_SESSION_KEY] = settings.AUTHENTICATION_BACKENDS[0]
    store[HASH_SESSION_KEY] = user.get_session_auth_hash()
    store.save()
    return {"session": store.session_key}


def ways_in(email):
    """Where an invitation of a new person leads, and a mail for a new password."""
    user = User.objects.get(email=email)
    _, token = Invitation.invite(
        by=user, course=course(), role="lead", email="new@school.example"
    )
    key = EmailAwarePasswordResetTokenGenerator().make_token(user)
    return {
        "accounts:join": reverse("accounts:join", args=[token]),
        "account_reset_password_from_key": reverse(
            "account_reset_password_from_key", args=[user_pk_to_url_str(user), key]
        ),
    }


def sign_everybody_out():
    Session.objects.all().delete()
    return {}


def marking(
    rubric="pulse-check.yaml",
    link="https://recordings.demo.invalid/one.webm",
    length=120,
    captions="",
    student="Sana Whitlock",
    **assignment,
):
    """A marking of Ivo Pell's that nobody has begun."""
    marker = member()
    edition = factories.edition_of(
        course(), (FIXTURES / "rubrics" / rubric).read_text(encoding="utf-8"), marker
    )
    submission = factories.SubmissionFactory(
        assignment=factories.AssignmentFactory(
            cohort=cohort(), edition=edition, markers=[marker], **assignment
        ),
        student=member(student, "student"),
        link=link,
        length_seconds=None if length is None else Decimal(length),
        captions=captions and (FIXTURES / captions).read_text(encoding="utf-8"),
    )
    made = factories.MarkingFactory(submission=submission, marker=marker)
    return {
        "pk": made.pk,
        "desk": made.get_absolute_url(),
        "save": reverse("grading:desk_save", args=[made.pk]),
        "person": marker.pk,
        "elements": [e.key for e in edition.definition.elements if not e.levels],
        "csrf": _get_new_csrf_string(),
    } | session()


def rubric(file=None, title="A rubric"):
    """The draft of a rubric: of a file of the library, or with its title alone."""
    lead = member("Lena Voss", "lead")
    if file:
        text = (FIXTURES / "rubrics" / file).read_text(encoding="utf-8")
        made = Rubric.bring_in(read(text, file), course=course(), by=lead)
    else:
        made = Rubric.begin(title, course=course(), by=lead)
    return {"pk": made.pk, "address": made.get_absolute_url()}


def rubric_file(pk):
    """The draft as a file says it."""
    return json.loads(Rubric.objects.get(pk=pk).opened.file())


def file_of(name):
    """A rubric of the library as the builder writes it."""
    text = (FIXTURES / "rubrics" / name).read_text(encoding="utf-8")
    return json.loads(Draft.of(read(text, name)).file())


def kept(pk=None):
    """What the store holds of a marking (of the last one made)."""
    found = Marking.objects.get(pk=pk) if pk else Marking.objects.latest("pk")
    return {
        "targets": found.targets,
        "played": found.played,
        "closed": found.closed,
        "changes": [
            str(ident)
            for ident in Change.objects.filter(marking=found).values_list(
                "client_id", flat=True
            )
        ],
        "releases": Release.objects.filter(marking=found).count(),
        "audit": audit(),
    }


def mark_all(pk):
    factories.mark_all(Marking.objects.get(pk=pk))
    return {}


def release(pk):
    factories.released(Marking.objects.get(pk=pk))
    return {}


def feedback(states=None, comments=(), **described):
    """A released sheet: all done but `states`; comments are (element, seconds, text)."""
    made = Marking.objects.get(pk=marking(**described)["pk"])
    factories.mark_all(made, **(states or {}))
    changes = [
        factories.change(
            made,
            f"comment:{n}",
            {"element": element, "at": at, "kind": "improve", "text": text},
        )
        for n, (element, at, text) in enumerate(comments)
    ] + [
        factories.change(made, f"ruling:{rule.key}", {"result": "met", "note": ""})
        for rule in made.definition.rules
        if rule.kind == "before"
    ]
    made.record(changes, by=made.marker)
    return {"address": Release.of_marking(made, by=made.marker).get_absolute_url()}


def audit():
    previous = ""
    for entry in AuditEntry.objects.order_by("number"):
        if entry.previous != previous or entry.compute_digest() != entry.digest:
            return f"broken at {entry.number}"
        previous = entry.digest
    return "unbroken"


def main():
    if len(sys.argv) > 1:
        print(json.dumps(globals()[sys.argv[1]]()))  # noqa: T201 (read by the test)
        return
    for line in sys.stdin:
        name, arguments = json.loads(line)
        print(json.dumps(globals()[name](**arguments)), flush=True)  # noqa: T201


if __name__ == "__main__":
    main()
