"""What a page asks before it shows anything."""

import pytest
from django.core.exceptions import PermissionDenied
from django.core.management import call_command

from accounts.access import require, require_administrator, require_somewhere
from accounts.models import AuditEntry, Course, User
from accounts.roles import ACTS, Act, Role, allows, roles_that_may


def test_signed_out_a_page_leads_to_sign_in_and_back(client, db):
    answer = client.get("/courses/?a=1")

    assert (answer.status_code, answer.url) == (302, "/sign-in/?next=/courses/%3Fa%3D1")


def test_signed_out_a_fetch_is_told_so_in_json(client, db):
    answer = client.get("/courses/", headers={"accept": "application/json"})

    assert (answer.status_code, answer.json()) == (401, {"error": "signed out"})


def test_a_refusal_says_which_act_in_which_course(student, course):
    with pytest.raises(PermissionDenied) as refusal:
        require(student, Act.MARK, course)

    assert str(refusal.value) == (
        "Your role in Health assessment does not let you mark a recording."
    )


def test_a_refusal_is_a_page_in_words(client_of, student):
    answer = client_of(student).get("/audit/")

    assert answer.status_code == 403
    assert "No role that you have lets you read the audit." in answer.content.decode()


def test_a_role_counts_in_its_own_course_only(lead, course, other_course):
    assert lead.may(Act.SEE_AUDIT, course)
    assert not lead.may(Act.SEE_AUDIT, other_course)
    assert list(Course.objects.where_may(lead, Act.SEE_AUDIT)) == [course]


def test_an_administrator_runs_the_site_and_reads_no_marks(administrator, course):
    require_administrator(administrator)
    require_somewhere(administrator, Act.MANAGE_COURSES)
    for act in (Act.MARK, Act.READ_FEEDBACK, Act.SEE_COHORT, Act.RELEASE):
        assert not administrator.may(act, course)


def test_every_act_belongs_to_some_role_and_every_role_has_acts():
    assert frozenset().union(*ACTS.values()) == frozenset(Act)
    assert set(ACTS) == set(Role)


def test_the_table_is_read_both_ways():
    for act in Act:
        assert {r for r in Role if allows(frozenset({r}), act)} == roles_that_may(act)


@pytest.mark.parametrize(
    ("who", "places"),
    [
        ("student", ["Home"]),
        ("instructor", ["Home", "Rubrics"]),
        ("lead", ["Home", "Rubrics", "People", "Audit"]),
        ("administrator", ["Home", "People", "Audit"]),
    ],
)
def test_the_head_of_a_page_offers_what_the_roles_open(who, places, client_of, request):
    page = client_of(request.getfixturevalue(who)).get("/password/")
    offered = page.content.decode().split('aria-label="Pages"')[1].split("</nav>")[0]

    words = ["Home", "Rubrics", "People", "Audit"]
    assert [word for word in words if f">{word}</a>" in offered] == places


def test_a_command_makes_an_administrator_and_it_is_kept(db, monkeypatch):
    monkeypatch.setenv("DJANGO_SUPERUSER_PASSWORD", "seven grey herons wade")
    call_command(
        "createsuperuser",
        interactive=False,
        email="A@b.example",
        name="Ada",
        verbosity=0,
    )

    ada = User.objects.get(email="a@b.example")
    assert ada.is_administrator
    assert ada.check_password("seven grey herons wade")
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.detail_words()) == ("gave role", "role administrator")
