"""manage.py feedback_pdfs: every report of an assignment, on several processes."""

from io import BytesIO
from zipfile import ZipFile

import pikepdf
import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from accounts.models import AuditEntry
from grading.exports.feedback_batch import batch_of
from tests.grading.feedback import HANDS, correct, release_for


@pytest.fixture
def two(student, classmate, cohort, instructor):
    """Two releases of one assignment, the second corrected once."""
    first = release_for(student, cohort, instructor, submission={"number": 7})
    second = release_for(
        classmate,
        cohort,
        instructor,
        assignment=first.assignment,
        submission={"number": 12},
    )
    return first, correct(second, (f"element:{HANDS}", {"state": "said", "at": 1.0}))


def title_of(content):
    with pikepdf.open(content) as pdf, pdf.open_metadata() as metadata:
        return metadata["dc:title"]


def test_a_zip_holds_each_current_report_once(two, tmp_path, capsys):
    target = tmp_path / "all.zip"
    call_command("feedback_pdfs", two[0].assignment_id, target, processes=2)
    with ZipFile(target) as archive:
        titles = {n: title_of(BytesIO(archive.read(n))) for n in archive.namelist()}
    assert titles == {
        "0007-attempt-1.pdf": "Feedback: Sana Whitlock, Two-minute pulse check, edition 1",
        "0012-attempt-1.pdf": "Feedback: Cleo Marsh, Two-minute pulse check, edition 1",
    }
    assert capsys.readouterr().out == f"2 reports in {target}\n"
    assert list(tmp_path.iterdir()) == [target]


def test_a_folder_is_made_and_filled_on_the_paper_asked_for(two, tmp_path):
    target = tmp_path / "deep" / "reports"
    call_command(
        "feedback_pdfs", two[0].assignment_id, target, processes=1, paper="letter"
    )
    with pikepdf.open(target / "0007-attempt-1.pdf") as pdf:
        assert [float(edge) for edge in pdf.pages[0].MediaBox] == [0, 0, 612, 792]


def test_processes_are_replaced_and_none_is_waited_for_in_vain(two):
    made = batch_of(two[0].assignment, processes=1, documents_a_process=1)
    assert [name for name, _ in made] == ["0007-attempt-1.pdf", "0012-attempt-1.pdf"]


def test_the_audit_says_what_left(two, tmp_path):
    call_command("feedback_pdfs", two[0].assignment_id, tmp_path / "a", processes=1)
    entry = AuditEntry.objects.latest("number")
    assert entry.verb == AuditEntry.Verb.EXPORTED
    assert entry.about == f"assignment {two[0].assignment_id}"
    assert '"releases": 2' in entry.detail


def test_an_assignment_that_is_not_there_is_said_to_be(db, tmp_path):
    with pytest.raises(CommandError, match="there is no assignment 77"):
        call_command("feedback_pdfs", 77, tmp_path / "a")


def test_a_place_that_cannot_be_written_is_said_to_be(two, tmp_path):
    (tmp_path / "file").write_text("in the way")
    target = tmp_path / "file" / "reports"
    with pytest.raises(CommandError, match="cannot write"):
        call_command("feedback_pdfs", two[0].assignment_id, target, processes=1)


@pytest.mark.parametrize("processes", ["0", "-1", "many"])
def test_a_number_of_processes_is_one_or_more(db, tmp_path, processes):
    with pytest.raises(CommandError, match="must be 1 or more, but is"):
        call_command("feedback_pdfs", "1", str(tmp_path), "--processes", processes)
