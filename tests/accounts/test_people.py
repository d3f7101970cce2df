import smtplib

import pytest
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend

from accounts.models import AuditEntry, Invitation, LastLeadError, Membership
from tests import factories


@pytest.fixture
def people_page(course):
    return f"/courses/{course.pk}/"


def test_the_list_shows_everybody_with_roles_and_cohorts(
    client_of, lead, instructor, student, people_page
):
    text = client_of(lead).get(people_page).content.decode()

    for words in ("Ivo Pell", "Sana Whitlock", "student in Autumn, section B"):
        assert words in text


def test_the_list_is_filtered_by_role_and_cohort(
    client_of, lead, instructor, student, cohort, people_page
):
    client = client_of(lead)

    students = client.get(people_page, {"role": "student", "cohort": cohort.pk})
    assert b"Sana Whitlock" in students.content
    assert b"Ivo Pell" not in students.content
    assert client.get(people_page, {"role": "wizard", "cohort": "x"}).status_code == 200


def test_many_are_invited_at_once_each_by_mail(client_of, lead, cohort, people_page):
    answer = client_of(lead).post(
        people_page + "invite/",
        {
            "role": "student",
            "cohort": cohort.pk,
            "people": "Ada,ada@b.example\nBo,bo@b.example",
        },
        follow=True,
    )

    assert "2 people invited." in answer.content.decode()
    assert {m.to[0] for m in mail.outbox} == {"ada@b.example", "bo@b.example"}
    assert [e.verb for e in AuditEntry.objects.all()] == ["invited", "invited"]


def test_one_faulty_line_sends_nothing_and_keeps_what_was_typed(
    client_of, lead, cohort, people_page
):
    people = "Ada,ada@b.example\nBo,bo@"
    form = {"role": "student", "cohort": cohort.pk, "people": people}

    answer = client_of(lead).post(people_page + "invite/", form)

    assert "Line 2: bo@ is no e-mail address" in answer.content.decode()
    assert people in answer.content.decode()
    assert not Invitation.objects.exists()


def test_who_cannot_be_mailed_is_not_invited(client_of, lead, people_page, monkeypatch):
    def refuse(self, messages):
        raise smtplib.SMTPServerDisconnected("gone")

    monkeypatch.setattr(EmailBackend, "send_messages", refuse)
    answer = client_of(lead).post(
        people_page + "invite/",
        {"role": "lead", "people": "Ada,ada@b.example"},
        follow=True,
    )

    assert "nobody of them is invited: ada@b.example" in answer.content.decode()
    assert not Invitation.objects.open().exists()


def test_inviting_again_closes_the_older_invitation(
    client_of, lead, course, people_page
):
    old, _ = Invitation.invite(
        by=lead, course=course, role="lead", email="ada@b.example", name="Ada"
    )

    client_of(lead).post(f"{people_page}invitations/{old.pk}/again/")

    old.refresh_from_db()
    assert not old.is_open
    assert Invitation.objects.open().get().email == "ada@b.example"


def test_a_withdrawn_invitation_opens_nothing(
    client, client_of, lead, course, people_page
):
    invitation, token = Invitation.invite(
        by=lead, course=course, role="lead", email="ada@b.example"
    )

    client_of(lead).post(f"{people_page}invitations/{invitation.pk}/withdraw/")

    assert client.get(f"/join/{token}/").status_code == 410


def test_a_role_is_given_and_kept(client_of, lead, instructor, course, people_page):
    client_of(lead).post(f"{people_page}people/{instructor.pk}/", {"role": "lead"})

    assert instructor.roles_in(course) == {"instructor", "lead"}
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.about) == ("gave role", f"person {instructor.pk}")


def test_a_student_changes_cohorts_by_being_given_the_role_again(
    client_of, lead, student, course, people_page
):
    spring = factories.CohortFactory(course=course, title="Spring")
    form = {"role": "student", "cohort": spring.pk}

    client_of(lead).post(f"{people_page}people/{student.pk}/", form)

    assert student.memberships.get().cohort == spring


@pytest.mark.parametrize(
    ("role", "with_cohort", "says"),
    [
        ("student", False, "A student needs a cohort."),
        ("lead", True, "Only students have a cohort; leave it empty."),
    ],
)
def test_only_a_student_has_a_cohort(
    role, with_cohort, says, client_of, lead, instructor, cohort, people_page
):
    form = {"role": role, "cohort": cohort.pk if with_cohort else ""}

    answer = client_of(lead).post(f"{people_page}people/{instructor.pk}/", form)

    assert says in answer.content.decode()
    assert instructor.memberships.count() == 1


def test_a_role_is_taken_away_and_its_work_stays(
    client_of, lead, instructor, people_page
):
    held = instructor.memberships.get()

    client_of(lead).post(f"{people_page}roles/{held.pk}/take/")

    assert not instructor.memberships.exists()
    assert AuditEntry.objects.get().verb == "took role"


def test_the_last_lead_cannot_be_taken_away(client_of, lead, people_page):
    held = lead.memberships.get()

    answer = client_of(lead).post(f"{people_page}roles/{held.pk}/take/", follow=True)

    assert "has no other lead" in answer.content.decode()
    assert Membership.objects.filter(pk=held.pk).exists()


def test_one_of_two_leads_can_go_but_not_both(lead, course):
    second = factories.MembershipFactory(course=course, role="lead", cohort=None)

    lead.memberships.get().take_away(by=lead)

    with pytest.raises(LastLeadError):
        second.take_away(by=lead)


def test_a_lead_cannot_reach_another_courses_people(client_of, lead, other_instructor):
    other = other_instructor.memberships.get()

    for path in (
        f"/courses/{other.course_id}/",
        f"/courses/{other.course_id}/roles/{other.pk}/take/",
        f"/courses/{lead.memberships.get().course_id}/roles/{other.pk}/take/",
        f"/courses/{lead.memberships.get().course_id}/people/{other_instructor.pk}/",
        "/courses/99999999999999999999/",
    ):
        assert client_of(lead).post(path).status_code in {404, 405}, path
    assert other_instructor.memberships.exists()


def test_the_page_asks_the_store_the_same_number_of_times_for_30_people(
    client_of, lead, course, cohort, people_page, django_assert_max_num_queries
):
    client = client_of(lead)

    def ask():
        with django_assert_max_num_queries(20) as queries:
            client.get(people_page)
        return len(queries)

    def add():
        factories.MembershipFactory(course=course, cohort=cohort)
        Invitation.invite(
            by=lead,
            course=course,
            cohort=cohort,
            role="student",
            email=f"{Invitation.objects.count()}@b.example",
        )

    add()
    one = ask()
    for _ in range(29):
        add()
    assert ask() == one
