"""What the statistics command prints, beside the figures themselves."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import CommandError

from grading.management.commands.statistics import METHODS, WHAT
from tests.grading.statistics.running import run, write_csv

MARKS = ["cohort", "student", "attempt", "marker", "element", "state"]


@pytest.fixture
def marks(tmp_path):
    def write(*rows, columns=MARKS):
        return write_csv(tmp_path / "marks.csv", columns, rows)

    return write


@pytest.fixture
def ratings(tmp_path):
    def write(*rows):
        return write_csv(tmp_path / "ratings.csv", ["subject", "rater", "rating"], rows)

    return write


def test_only_the_first_attempt_counts_unless_asked(marks):
    file = marks(
        ["A", "s1", 2, "m", "e", "missed"],
        ["A", "s1", 1, "m", "e", "done"],
        ["A", "s2", 3, "m", "e", "missed"],
    )
    for attempt, omitted, judged in (("first", 1, 2), ("last", 2, 2), ("all", 2, 3)):
        row = run("omissions", file, "--attempt", attempt, "--json").row("e")
        assert (row["omitted"], row["judged"]) == (omitted, judged)
    assert run("omissions", file, "--json").row("e")["omitted"] == 1


def test_a_student_who_counts_more_than_once_is_noted(marks):
    file = marks(
        ["A", "s1", 1, "m1", "e", "done"],
        ["A", "s1", 1, "m2", "e", "missed"],
        ["B", "s1", 1, "m1", "e", "done"],
    )
    notes = run("omissions", file, "--json").json["notes"]
    often = "Students who count more than once for an element: 1. n counts marks."
    assert often in notes
    assert (
        often
        not in run("omissions", file, "--by", "element,marker", "--json").json["notes"]
    )


def test_an_omission_is_a_judged_mark_that_earns_nothing(marks):
    file = marks(
        ["A", "s1", 1, "m", "e", "said", 1],
        ["A", "s2", 1, "m", "e", "partly", 0],
        ["A", "s3", 1, "m", "e", "level", 0],
        ["A", "s4", 1, "m", "e", "unseen", ""],
        columns=[*MARKS, "credit"],
    )
    ran = run("omissions", file, "--json")
    assert (ran.row("e")["omitted"], ran.row("e")["judged"]) == (2, 3)
    assert ran.json["notes"][0].startswith("Counted as omitted: marks that earned 0.")
    by_state = run("omissions", file, "--count", "said", "--json")
    assert by_state.row("e")["omitted"] == 1
    assert "marks with the state said" in by_state.json["notes"][0]


def test_rows_may_be_made_of_other_columns(marks):
    file = marks(
        ["A", "s1", 1, "m1", "e", "done"],
        ["A", "s2", 1, "m2", "e", "missed"],
        ["B", "s3", 1, "m1", "f", "missed"],
    )
    ran = run("omissions", file, "--by", "cohort,marker", "--json")
    assert ran.row("A", "m2")["rate"] == 1
    assert run("omissions", file, "--by", "attempt", "--json").row("1")["judged"] == 3
    assert any("interval is too narrow" in note for note in ran.json["notes"])


def test_shares_are_of_the_judged_and_unseen_is_of_all(marks):
    states = ["done", "partly", "said", "missed", "unseen", "excused"]
    file = marks(*[["A", f"s{i}", 1, "m", "e", s] for i, s in enumerate(states)])
    row = run("omissions", file, "--json").row("e")
    assert [row[state] for state in states[:4]] == [0.25] * 4
    assert row["unseen"] == pytest.approx(1 / 6)


def test_few_students_are_said_to_be_few(marks):
    file = marks(["A", "s1", 1, "m", "e", "done"])
    assert "Few data: 1 student." in run("omissions", file, "--json").json["notes"]


def test_a_student_in_both_groups_is_noted(marks):
    file = marks(["A", "s1", 1, "m", "e", "done"], ["B", "s1", 1, "m", "e", "done"])
    notes = run("compare", file, "--groups", "A", "B", "--json").json["notes"]
    assert "Students in both groups: 1. The two are then not independent." in notes
    assert any("p value and the interval may disagree" in note for note in notes)


def test_markers_are_paired_over_the_students_both_marked(marks):
    file = marks(
        ["A", "s1", 1, "X", "e", "missed"],
        ["A", "s1", 1, "Y", "e", "done"],
        ["A", "s2", 1, "X", "e", "done"],
        ["A", "s3", 1, "X", "e", "missed"],
        ["A", "s3", 1, "Y", "e", "unseen"],
        ["A", "s4", 1, "Z", "e", "done"],
    )
    row = run("compare", file, "--paired", "marker", "X", "Y", "--json").row("e")
    assert (row["pairs"], row["only_first"], row["difference"]) == (1, 1, 1)


def test_an_element_without_pairs_says_so(marks):
    file = marks(["A", "s1", 1, "X", "e", "done"], ["A", "s2", 1, "Y", "e", "done"])
    row = run("compare", file, "--paired", "marker", "X", "Y", "--json").row("e")
    assert row["p"] is None
    assert row["reasons"]["p"] == "no student has a judged mark on both sides"


def test_unseen_is_no_rating_and_is_counted_apart(ratings):
    file = ratings(
        ["s1", "P", "done"],
        ["s1", "Q", "done"],
        ["s2", "P", "unseen"],
        ["s2", "Q", "missed"],
        ["s3", "P", "unseen"],
        ["s3", "Q", "unseen"],
    )
    ran = run("agreement", file, "--json")
    seen = [ran.whole(f"seen_by_{who}") for who in ("all", "some", "none")]
    assert seen == [1, 1, 1]
    assert ran.json["whole"]["percent_agreement"]["n"] == 1


def test_numbers_written_differently_are_one_rating(ratings):
    file = ratings(
        ["s1", "P", "1"], ["s1", "Q", "1.0"], ["s2", "P", "2"], ["s2", "Q", "3"]
    )
    assert run("agreement", file, "--json").whole("percent_agreement") == 50


def test_words_without_order_have_no_intraclass_correlation(ratings):
    file = ratings(["s1", "P", "good"], ["s1", "Q", "bad"], ["s2", "P", "bad"])
    ran = run("agreement", file, "--json")
    assert ran.json["whole"]["icc_2_1"]["reason"] == "the ratings are not numbers"
    assert any("by alphabet: bad, good" in note for note in ran.json["notes"])


def test_elements_set_aside_are_named(tmp_path):
    rows = [[f"s{i}", e, i % 2] for i in range(12) for e in ("a", "b", "c")]
    rows = [row for row in rows if row[1] != "c" or row[0] > "s2"]
    rows[0][2] = ""
    file = write_csv(tmp_path / "t.csv", ["student", "element", "credit"], rows)
    notes = run("items", file, "--json").json["notes"]
    assert notes[1] == "1 element set aside, not seen on more than 10% of sheets: c."
    assert notes[2].startswith(
        "Covariances come from the sheets that have both elements"
    )
    complete = run("items", file, "--complete", "--json").json["notes"]
    assert complete[2] == "Complete sheets only: 11 of 12."


def test_grades_that_nobody_received_are_named(tmp_path):
    columns = ["student", "percent", "rating"]
    rows = [["a", 50, 2], ["b", 60, 3], ["c", 80, 5]]
    file = write_csv(tmp_path / "t.csv", columns, rows)
    options = ["--method", "borderline-regression", "--borderline", "1", "--json"]
    ran = run("passmark", file, *options)
    assert ran.row("4")["reasons"] == {"mean": "no student received it"}
    assert "Ratings nobody received: 1, 4." in ran.json["notes"]
    assert any("outside the ratings given" in note for note in ran.json["notes"])


def test_ratings_between_whole_grades_have_rows_of_their_own(tmp_path):
    columns = ["student", "percent", "rating"]
    rows = [["a", 50, 2], ["b", 60, 2.5], ["c", 80, 4]]
    file = write_csv(tmp_path / "t.csv", columns, rows)
    options = ["--method", "borderline-regression", "--borderline", "2", "--json"]
    ran = run("passmark", file, *options)
    assert [row["rating"] for row in ran.json["rows"]] == ["2", "2.5", "4"]


def test_a_pass_mark_from_under_fifty_students_comes_with_a_caution(tmp_path):
    columns = ["student", "percent", "group"]
    for n, cautions in ((49, 1), (50, 0)):
        rows = [[f"s{i}", i, "competent" if i > 20 else "not"] for i in range(n)]
        file = write_csv(tmp_path / "t.csv", columns, rows)
        notes = run("passmark", file, "--method", "contrasting-groups", "--json").json[
            "notes"
        ]
        assert len([n for n in notes if "Fewer than 50 students" in n]) == cautions


def test_angoff_and_ebel_have_a_pass_rate_only_with_scores(tmp_path):
    scores = write_csv(
        tmp_path / "s.csv", ["student", "percent"], [["a", 50], ["b", 49]]
    )
    judged = write_csv(
        tmp_path / "a.csv", ["judge", "element", "probability"], [["J", "e", 0.5]]
    )
    sorted_ = write_csv(
        tmp_path / "e.csv",
        ["element", "relevance", "difficulty", "expected"],
        [["e", "must", "easy", 0.5]],
    )
    for method, file in (("angoff", judged), ("ebel", sorted_)):
        without = run("passmark", file, "--method", method, "--json")
        assert "pass_rate" not in without.json["whole"]
        ran = run("passmark", file, "--method", method, "--scores", scores, "--json")
        assert ran.whole("pass_rate") == 50


def test_the_table_is_aligned_and_ends_with_reasons_and_notes(marks):
    file = marks(
        ["A", "s1", 1, "m", "apex", "missed"], ["A", "s1", 1, "m", "hands", "unseen"]
    )
    assert run("omissions", file).out.splitlines() == [
        "omissions, n = 2",
        "",
        "element  judged  omitted    rate     low    high    done  partly    said  missed  unseen",
        "apex          1        1  1.0000  0.2065  1.0000  0.0000  0.0000  0.0000  1.0000  0.0000",
        "hands         0        0       -       -       -       -       -       -       -  1.0000",
        "",
        "- hands rate, hands low, hands high, hands done, hands partly, hands said, hands missed: "
        "no mark of it was judged",
        "- Counted as omitted: marks with the state missed or said. Limits: Wilson score "
        "interval, 95%.",
        "- Few data: 1 student.",
    ]


def test_figures_of_the_whole_have_a_table_of_their_own(tmp_path):
    file = write_csv(
        tmp_path / "t.csv", ["group", "n", "count"], [["a", 50, 1], ["b", 50, 40]]
    )
    lines = run("chart", file).out.splitlines()
    whole = [
        line.split() for line in lines if line.startswith(("center", "outside_3sd"))
    ]
    assert whole[0][:3] == ["center", "0.4100", "100"]
    assert whole[1][:3] == ["outside_3sd", "a,", "b"]


def test_an_undefined_figure_of_the_whole_has_its_words_under_the_table(ratings):
    lines = run("severity", ratings(["s1", "P", 4])).out.splitlines()
    assert ["residual_df", "-", "1"] in [line.split()[:3] for line in lines]
    assert any(
        line.endswith("residual_df: it needs two raters or more, but there is one")
        for line in lines
    )


@pytest.mark.parametrize("what", WHAT)
def test_help_explains_the_columns_and_options(what, capsys):
    assert run(what, "--help").exit == 0
    shown = capsys.readouterr().out
    assert "olumns" in shown
    assert "--json" in shown


def test_help_names_every_kind_and_every_method(capsys):
    run("--help")
    shown = capsys.readouterr().out
    assert all(what in shown for what in WHAT)
    run("passmark", "--help")
    shown = capsys.readouterr().out
    assert all(method in shown for method in METHODS)


def test_an_unknown_kind_is_refused():
    with pytest.raises(CommandError, match="invalid choice: 'omission'"):
        run("omission", "t.csv")


def process(*arguments, **environment):
    return subprocess.run(
        [sys.executable, "-W", "error", *map(str, arguments)],
        cwd=settings.BASE_DIR,
        env={
            **os.environ,
            "BELLSIDE_DATABASE": "sqlite:////nowhere/none.sqlite3",
            **environment,
        },
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_command_needs_no_database_and_writes_one_object(marks):
    file = marks(["Ä", "s1", 1, "m", "e", "missed"])
    ran = process(
        "manage.py", "statistics", "omissions", file, "--json", PYTHONIOENCODING="ascii"
    )
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.startswith('{"what": "omissions", "n": 1, ')
    assert ran.stdout.count("\n") == 1


def test_a_fault_ends_the_process_with_2_and_an_empty_output(marks):
    file = marks(["A", "s1", 1, "m", "e", "skipped"])
    ran = process("manage.py", "statistics", "omissions", file)
    assert (ran.returncode, ran.stdout) == (2, "")
    assert ran.stderr.startswith(f"{file}:2: state 'skipped'; allowed: done")


def test_a_wrong_option_ends_the_process_with_2():
    ran = process("manage.py", "statistics", "passmark", "t.csv", "--method", "hofstee")
    assert (ran.returncode, ran.stdout) == (2, "")
    assert "hofstee needs --scores" in ran.stderr


def test_omissions_and_their_comparison_never_load_scipy(marks):
    file = marks(["A", "s1", 1, "m", "e", "missed"], ["B", "s2", 1, "m", "e", "done"])
    code = (
        "import sys; from pathlib import Path;"
        "from grading.statistics.reports import comparisons, marks;"
        f"table = marks.read_marks('t', Path({str(file)!r}).read_bytes());"
        "marks.omissions_report(table);"
        "comparisons.groups_report(table, ('A', 'B'));"
        "print('scipy' in sys.modules)"
    )
    assert process("-c", code).stdout == "False\n"
    assert Path(file).exists()
