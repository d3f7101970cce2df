from accounts.models import AuditEntry, Cohort, Course
from tests import factories


def test_an_administrator_opens_a_course_and_a_cohort(client_of, administrator):
    client = client_of(administrator)

    answer = client.post("/courses/", {"title": "Health assessment"}, follow=True)
    course = Course.objects.get()
    assert "Invite its lead next." in answer.content.decode()

    form = {"title": "Autumn", "starts_on": "2026-09-01"}
    client.post(f"/courses/{course.pk}/cohorts/", form)
    assert course.cohorts.get().title == "Autumn"
    verbs = [entry.verb for entry in AuditEntry.objects.all()]
    assert verbs == ["opened course", "opened cohort"]


def test_a_title_is_taken_once(client_of, administrator, course, cohort):
    client = client_of(administrator)

    again = client.post("/courses/", {"title": course.title})
    form = {"title": cohort.title, "starts_on": "2026-09-01"}
    cohort_again = client.post(f"/courses/{course.pk}/cohorts/", form)

    assert "already exists" in again.content.decode()
    assert "already exists" in cohort_again.content.decode()
    assert (Course.objects.count(), Cohort.objects.count()) == (1, 1)


def test_a_lead_sees_the_own_course_only_and_opens_none(client_of, lead, other_course):
    client = client_of(lead)

    text = client.get("/courses/").content.decode()
    assert "Health assessment" in text
    assert "Paediatric" not in text
    assert client.post("/courses/", {"title": "Mine"}).status_code == 403
    assert Course.objects.count() == 2


def test_the_list_asks_the_store_the_same_number_of_times_for_30_courses(
    client_of, administrator, django_assert_max_num_queries
):
    client = client_of(administrator)

    def ask():
        with django_assert_max_num_queries(20) as queries:
            client.get("/courses/")
        return len(queries)

    factories.MembershipFactory()
    one = ask()
    for _ in range(29):
        factories.MembershipFactory()
    assert ask() == one
