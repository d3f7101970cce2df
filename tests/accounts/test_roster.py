import pytest
from django.core import mail
from django.core.management import CommandError, call_command

from accounts.models import Invitation
from accounts.roles import Role
from accounts.roster import Roster


def read(text, course, role=Role.STUDENT, cohort=None):
    roster = Roster(text, course=course, role=role, cohort=cohort)
    return (
        [(i.line, i.name, i.email, i.cohort) for i in roster.invitees],
        [str(fault) for fault in roster.faults],
    )


@pytest.mark.parametrize("sign", [",", ";", "\t", ", "])
def test_lines_are_parted_as_spreadsheets_do(sign, course, cohort):
    text = f"name{sign}email\nAda Park{sign}Ada@School.example\n\n"

    assert read(text, course, cohort=cohort) == (
        [(2, "Ada Park", "ada@school.example", cohort)],
        [],
    )


def test_a_quoted_name_may_hold_a_comma_and_a_line_may_name_its_cohort(course, cohort):
    text = '"Park, Ada",ada@school.example,"AUTUMN, Section B"'

    assert read(text, course) == (
        [(1, "Park, Ada", "ada@school.example", cohort)],
        [],
    )


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("Ada Park", "has 1 parts, must have 2 or 3: name, e-mail, cohort"),
        ("Ada,a@b.example,x,y", "has 4 parts, must have 2 or 3: name, e-mail, cohort"),
        (",a@b.example", "the name must have 1 to 200 printable characters"),
        ("A\x00da,a@b.example", "the name must have 1 to 200 printable characters"),
        ("Ada,a@b", "a@b is no e-mail address"),
        ("Ada,", "nothing is no e-mail address"),
        (
            "Ada,a@b.example,Spring",
            "Spring is no cohort of this course (it has: Autumn, section B)",
        ),
    ],
)
def test_a_faulty_line_is_named_with_what_is_allowed(line, fault, course, cohort):
    assert read("Bo,bo@school.example\n" + line, course, cohort=cohort)[1] == [
        f"Line 2: {fault}"
    ]


def test_every_fault_is_told_at_once_in_order(course, student):
    text = "Ada,ada@b.example\nBo,bo@\nAda,ADA@b.example\nSana,sana@school.example"

    assert read(text, course)[1] == [
        "Line 1: a student needs a cohort: choose one for all, or name it in each line",
        "Line 2: bo@ is no e-mail address",
        "Line 3: ada@b.example stands already in line 1",
        "Line 4: sana@school.example is already student in this course",
    ]


def test_only_students_have_a_cohort(course, cohort):
    text = "Ada,ada@b.example,Autumn"

    assert read(text, course, Role.LEAD)[1] == ["Line 1: only students have a cohort"]


def test_an_empty_list_is_a_fault(course):
    assert read("name,email\n", course)[1] == ["Line 1: nobody is on the list"]


def test_the_command_invites_everybody_in_a_file(
    tmp_path, course, cohort, lead, capsys
):
    file = tmp_path / "autumn.csv"
    file.write_text("\ufeffname,email\nAda,ada@b.example\nBo,bo@b.example\n")

    call_command("roster", course.title, file, by=lead.email, cohort=cohort.title)

    assert capsys.readouterr().out == "2 invited to Health assessment.\n"
    assert [message.to for message in mail.outbox] == [
        ["ada@b.example"],
        ["bo@b.example"],
    ]


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"course": "Botany"}, "No course 'Botany'. There are: Health assessment."),
        ({"by": "stig@school.example"}, "stig@school.example may not invite people"),
        ({"cohort": "Spring"}, "Health assessment has no cohort 'Spring'."),
        ({"text": "Ada"}, "Line 1: has 1 parts"),
        ({"text": b"\xff\xfe"}, "cannot be read"),
    ],
)
def test_the_command_says_what_is_wrong_and_invites_nobody(
    change, says, tmp_path, course, cohort, lead, stranger
):
    file = tmp_path / "autumn.csv"
    text = change.pop("text", "Ada,ada@b.example")
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    given = {"course": course.title, "by": lead.email, "cohort": cohort.title} | change

    with pytest.raises(CommandError, match=says.replace("(", r"\(")):
        call_command("roster", given.pop("course"), file, **given)

    assert not Invitation.objects.exists()
