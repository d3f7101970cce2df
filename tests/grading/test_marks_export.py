"""The marks themselves as a file: what the command makes of it, and what it costs."""

import json
import tracemalloc

import pytest
from django.core.management import CommandError, call_command

from accounts.models import AuditEntry
from grading.exports.marks import HEAD, marks_rows, names_of
from grading.exports.tables import csv_stream
from tests.factories import AssignmentFactory, CohortFactory
from tests.grading.cohorts import file, release, release_many, table
from tests.grading.statistics.running import run


@pytest.fixture
def assignment(cohort, instructor):
    return AssignmentFactory(cohort=cohort, markers=[instructor], attempts=2)


@pytest.fixture
def spring(course, assignment, instructor):
    cohort = CohortFactory(course=course, title="Spring, section A")
    found = AssignmentFactory(cohort=cohort, edition=assignment.edition)
    release_many(found, instructor, 11, 3)
    return found


@pytest.fixture
def autumn(assignment, instructor):
    """Said, partly, unseen and excused marks too, and second attempts."""
    first = release_many(assignment, instructor, 20, 7)
    first += release_many(assignment, instructor, 3, 3, state="said")
    release(assignment, instructor, opening__hygiene="unseen")
    release(assignment, instructor, opening__consent="said")
    release(
        assignment, instructor, opening__consent="partly", opening__hygiene="excused"
    )
    for one in first[:11]:
        release(assignment, instructor, one.submission.student, attempt=2)
    return assignment


@pytest.fixture
def marks(tmp_path, client_of, lead, autumn, spring):
    """The page's own download."""
    path = tmp_path / "marks.csv"
    text = file(client_of(lead), "cohort_marks_csv", autumn.cohort, against=spring.pk)
    path.write_text(text, encoding="utf-8", newline="")
    return path


def figures(path, *arguments):
    ran = run(*arguments[:1], path, *arguments[1:], "--json")
    assert ran.exit == 0, ran.err
    return {row["element"]: row for row in json.loads(ran.out)["rows"]}


def alike(shown, printed, **names):
    """The page's cells are the command's figures."""
    for cell, figure in names.items():
        value = printed[figure]
        assert shown[cell] == ("" if value is None else str(value)), (shown, cell)


def test_the_command_gives_the_pages_rates(client_of, lead, marks, autumn):
    by_cohort = ["--by", "element,cohort"]
    for attempt in ("first", "last", "all"):
        for count in ("", "missed", "missed,said"):
            options = [*by_cohort, "--attempt", attempt]
            options += ["--count", count] if count else []
            ran = run("omissions", marks, *options, "--json")
            printed = {
                row["element"]: row
                for row in ran.json["rows"]
                if row["cohort"] == str(autumn)
            }
            query = {"attempt": attempt, "count": count}
            shown = table(client_of(lead), "cohort_csv", autumn.cohort, **query)
            assert len(shown) == len(printed)
            for row in shown:
                alike(
                    row,
                    printed[row["element"]],
                    judged="judged",
                    omitted="omitted",
                    rate="rate",
                    low="low",
                    high="high",
                )


def test_the_command_gives_the_pages_comparison(client_of, lead, marks, autumn, spring):
    printed = figures(marks, "compare", "--groups", str(autumn), str(spring))
    query = {"against": spring.pk}
    for row in table(client_of(lead), "cohort_csv", autumn.cohort, **query):
        alike(
            row,
            printed[row["element"]],
            other_rate="rate_b",
            difference="difference",
            difference_low="low",
            difference_high="high",
            q="q",
        )


def test_the_command_gives_the_pages_pairs(client_of, lead, marks, autumn):
    printed = figures(marks, "compare", "--paired", "attempt", "1", "2")
    for row in table(client_of(lead), "cohort_attempts_csv", autumn.cohort):
        names = ("pairs", "both", "only_first", "only_second", "neither")
        names += ("difference", "low", "high", "q")
        alike(row, printed[row["element"]], **{name: name for name in names})


def test_the_command_gives_the_pages_chart(client_of, lead, tmp_path, autumn, spring):
    key = "opening.hygiene"
    shown = table(client_of(lead), "cohort_charts_csv", autumn.cohort, element=key)
    shown = [row for row in shown if row["kind"] == "cohort"]
    path = tmp_path / "groups.csv"
    path.write_text(
        "group,n,count\n"
        + "".join(f'"{row["group"]}",{row["n"]},{row["count"]}\n' for row in shown)
    )
    printed = {row["group"]: row for row in run("chart", path, "--json").json["rows"]}
    names = ["rate", "low_3sd", "high_3sd", "low_95", "high_95", "low_998", "high_998"]
    for row in shown:
        alike(row, printed[row["group"]], **{name: name for name in names})


def test_marks_carry_no_names_and_a_download_stands_in_the_audit(
    marks, lead, instructor, autumn
):
    text = marks.read_text()
    people = [r.submission.student.name for r in autumn.releases.all()]
    assert not any(name in text for name in [*people, instructor.name])
    assert AuditEntry.objects.filter(verb="exported", actor=lead).exists()


def test_the_marks_command_writes_what_the_page_gives(
    marks, tmp_path, capsys, autumn, spring
):
    path = tmp_path / "all.csv"
    call_command("marks", str(path), "--rubric", str(autumn.edition.rubric_id))
    assert sorted(path.read_bytes().splitlines()) == sorted(
        marks.read_bytes().splitlines()
    )
    numbers = [str(autumn.pk), str(spring.pk)]
    call_command("marks", "-", "--assignment", *numbers)
    assert len(capsys.readouterr().out.splitlines()) == len(
        marks.read_text().splitlines()
    )


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["--rubric", "0"], "there is no assignment of a rubric 0"),
        (["--assignment", "0"], "there is no assignment 0"),
    ],
)
def test_marks_of_nothing_are_refused(db, tmp_path, options, message):
    with pytest.raises(CommandError, match=message):
        call_command("marks", str(tmp_path / "none.csv"), *options)
    assert not (tmp_path / "none.csv").exists()


def test_marks_of_two_rubrics_are_two_files(autumn):
    other = AssignmentFactory()
    with pytest.raises(CommandError, match="different rubrics"):
        call_command("marks", "-", "--assignment", str(autumn.pk), str(other.pk))


def test_marks_that_cannot_be_written_say_so(tmp_path, autumn):
    with pytest.raises(CommandError, match="cannot write"):
        call_command("marks", str(tmp_path), "--assignment", str(autumn.pk))


def test_two_assignments_of_one_name_are_told_apart(cohort, assignment):
    twin = AssignmentFactory(cohort=cohort, title=assignment.title)
    names = names_of([assignment, twin])
    assert names[twin.pk] == f"{twin} ({twin.pk})"
    assert len(set(names.values())) == 2


def peak(assignment):
    """Bytes held at most while the file is written to nowhere."""
    tracemalloc.start()
    for _ in csv_stream(HEAD, marks_rows([assignment])):
        pass
    held = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return held


def test_memory_does_not_grow_with_the_marks(assignment, instructor):
    release_many(assignment, instructor, 220)
    few = peak(assignment)
    release_many(assignment, instructor, 660)
    assert peak(assignment) < 1.25 * few
