import re

import pytest
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection, transaction

from accounts.models import AuditEntry
from tests import factories

Verb = AuditEntry.Verb


def fill(actor, course=None, count=3):
    for number in range(count):
        AuditEntry.objects.append(
            actor=actor, verb=Verb.SAW, about=f"submission {number}", course=course
        )


@pytest.fixture
def unguarded(db):
    """The audit's table without its triggers, as a thief of the store would have it."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("ALTER TABLE accounts_auditentry DISABLE TRIGGER USER")
        else:
            for act in ("update", "delete"):
                cursor.execute(f"DROP TRIGGER accounts_auditentry_refuses_{act}")
    return AuditEntry.objects


def verify(capsys, *options):
    """What the command says and whether it ended well."""
    try:
        call_command("audit", "verify", *options)
    except CommandError as error:
        return False, str(error)
    return True, capsys.readouterr().out


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE accounts_auditentry SET about = 'nothing'",
        "DELETE FROM accounts_auditentry",
        "TRUNCATE accounts_auditentry",
    ],
)
def test_the_store_itself_refuses_to_change_the_audit(statement, student):
    fill(student)
    with (
        pytest.raises(DatabaseError),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement)
    assert AuditEntry.objects.count() == 3


def test_the_detail_of_an_entry_reads_as_words(student):
    entry = AuditEntry.objects.append(
        actor=student,
        verb=Verb.SAW,
        about="release 1",
        corrects=None,
        outcome="not_yet",
        released_at="2026-11-24T19:34:18.741839+02:00",
        markers=[3, 4],
    )
    assert entry.detail_words() == (
        "markers 3, 4, outcome not yet, released at 24 Nov 2026, 17:34:18 UTC"
    )


def test_an_untouched_chain_is_in_order_and_shows_its_head(student, course, capsys):
    fill(student, course)
    head = AuditEntry.objects.last()

    well, said = verify(capsys)

    assert well
    assert f"Head 3:{head.digest}" in said


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"about": "submission 9"}, "Entry 2 was altered"),
        ({"actor": None}, "Entry 2 was altered"),
        ({"detail": '{"a": 1}'}, "Entry 2 was altered"),
        ({"verb": "released"}, "Entry 2 was altered"),
        ({"previous": "0" * 64}, "Entry 2 names 000000000000 as the digest before it"),
        ({"digest": "0" * 64}, "Entry 2 was altered"),
    ],
)
def test_an_altered_entry_is_named(change, says, unguarded, student, capsys):
    fill(student)
    unguarded.filter(number=2).update(**change)

    well, said = verify(capsys)

    assert not well
    assert says in said


def test_a_missing_entry_is_named(unguarded, student, capsys):
    fill(student, count=4)
    unguarded.filter(number__in=[2, 3]).delete()

    assert verify(capsys) == (
        False,
        "Entry 4 follows entry 1: entries between are missing.",
    )


def test_entries_that_changed_places_are_named(unguarded, student, capsys):
    fill(student)
    for old, new in ((1, 9), (2, 1), (9, 2)):
        unguarded.filter(number=old).update(number=new)

    _, said = verify(capsys)

    assert "Entry 1 was altered" in said
    assert "Entry 2 was altered" in said


def test_an_entry_altered_with_a_fitting_digest_breaks_the_next(
    unguarded, student, capsys
):
    fill(student)
    forged = unguarded.get(number=2)
    forged.about = "submission 9"
    unguarded.filter(number=2).update(
        about=forged.about, digest=forged.compute_digest()
    )

    well, said = verify(capsys)

    assert not well
    assert re.match("Entry 3 names .* but entry 2 has", said)


def test_a_head_kept_elsewhere_finds_what_was_cut_off_the_end(
    unguarded, student, capsys
):
    fill(student)
    head = unguarded.last()
    kept = f"--head={head.number}:{head.digest}"
    assert verify(capsys, kept)[0]

    unguarded.filter(number=3).delete()
    assert verify(capsys)[0]
    assert verify(capsys, kept) == (
        False,
        "Entry 3, kept as head before, is missing.",
    )
    fill(student, count=1)
    assert "Entry 3 is not the one kept as head before." in verify(capsys, kept)[1]


def test_a_head_that_is_none_is_refused(db, capsys):
    assert "must be NUMBER:DIGEST" in verify(capsys, "--head=soon")[1]


def test_an_act_that_fails_leaves_no_entry(student):
    @transaction.atomic
    def act():
        fill(student)
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        act()
    assert not AuditEntry.objects.exists()


def test_a_lead_reads_the_own_courses_audit_and_an_administrator_all(
    client_of, lead, administrator, other_instructor, course, other_course
):
    fill(lead, course, count=1)
    fill(other_instructor, other_course, count=1)
    fill(administrator, count=1)

    def seen_by(person):
        text = client_of(person).get("/audit/").content.decode()
        return [
            n for n in ("Lena", "Odile", "Abel") if f"{n} " in text.split("<table")[1]
        ]

    assert seen_by(lead) == ["Lena"]
    assert seen_by(administrator) == ["Lena", "Odile", "Abel"]


def test_the_audit_is_filtered_by_person_and_verb(
    client_of, lead, student, instructor, course
):
    fill(student, course, count=1)
    fill(instructor, course, count=1)
    AuditEntry.objects.append(
        actor=student, verb=Verb.HANDED_IN, about="submission 8", course=course
    )

    page = client_of(lead).get("/audit/", {"person": "SANA", "verb": "handed in"})
    table = page.content.decode().split("<table")[1]

    assert "submission 8" in table
    assert "submission 0" not in table


def test_the_audit_is_read_page_by_page_without_a_gap(client_of, lead, course):
    fill(lead, course, count=120)
    client, address, seen = client_of(lead), "?", []
    while address:
        text = client.get("/audit/" + address).content.decode()
        seen += [int(n) for n in re.findall(r'class="n">(\d+)</td>', text)]
        older = re.search(r'href="(\?[^"]*)" rel="next"', text)
        address = older and older[1]

    assert seen == list(range(120, 0, -1))


@pytest.mark.parametrize(
    "query", ["before=x", "before=-1", "verb=dance", f"before={9**40}"]
)
def test_a_wrong_filter_is_a_message_on_the_page(query, client_of, lead):
    answer = client_of(lead).get(f"/audit/?{query}")

    assert answer.status_code == 200
    assert "could not be taken" in answer.content.decode()


def test_the_page_asks_the_store_the_same_number_of_times_for_30_entries(
    client_of, lead, course, django_assert_max_num_queries
):
    client = client_of(lead)

    def ask():
        with django_assert_max_num_queries(20) as queries:
            client.get("/audit/")
        return len(queries)

    fill(lead, course, count=1)
    one = ask()
    for _ in range(29):
        fill(factories.UserFactory(), course, count=1)
    assert ask() == one
