"""Malformed files and options: what is wrong, on which line, what is allowed."""

import pytest
from django.core.management import CommandError

from tests.grading.statistics.running import run

MARKS = "cohort,student,attempt,marker,element,state\n"
MARK = "A,s1,1,m1,e1,done\n"
QUOTES = 'a cell with quotes is itself in quotes, and each of its quotes is written ""'
ROW = "one row for each"
STATES = "done, partly, said, missed, unseen, excused, level"
RATINGS = "subject,rater,rating\n"
SCORES = "student,percent\n"

# what | options | the file | its faults, after the name of the file
FILES = {
    "an empty file": (
        "chart",
        [],
        b"",
        [": the file is empty; allowed: a header and rows"],
    ),
    "white space only": (
        "chart",
        [],
        b"\n \n",
        [": the file is empty; allowed: a header and rows"],
    ),
    "another encoding": (
        "chart",
        [],
        "group,n,count\na,3,1\nbéta,3,1\n".encode("latin-1"),
        [":3: byte 0xe9 is not UTF-8; allowed: text saved as UTF-8"],
    ),
    "UTF-16": (
        "chart",
        [],
        "group,n,count\na,3,1\n".encode("utf-16-le"),
        [":1: a zero byte is not text; allowed: text saved as UTF-8"],
    ),
    "an unknown column": (
        "chart",
        [],
        b"group,n,counts,count\na,3,1,1\n",
        [":1: unknown column 'counts'; allowed: group, n, count (nearest: count)"],
    ),
    "a missing column": (
        "chart",
        [],
        b"group,n\na,3\n",
        [":1: column count is missing; allowed: group, n, count"],
    ),
    "a column twice": (
        "chart",
        [],
        b"group,n,count,n\na,3,1,3\n",
        [":1: column n stands twice; allowed: once"],
    ),
    "no header": (
        "chart",
        [],
        b"\na,3,1\n",
        [
            ":1: column group is missing; allowed: group, n, count",
            ":1: column n is missing; allowed: group, n, count",
            ":1: column count is missing; allowed: group, n, count",
        ],
    ),
    "too few cells": (
        "chart",
        [],
        b"group,n,count\na,3\nb\n",
        [
            ":2: 2 cells; allowed: 3, as many as in the header",
            ":3: 1 cell; allowed: 3, as many as in the header",
        ],
    ),
    "too many cells": (
        "chart",
        [],
        b"group,n,count\na,3,1,\n",
        [":2: 4 cells; allowed: 3, as many as in the header"],
    ),
    "semicolons": (
        "chart",
        [],
        b"group;n;count\na;3;1\n",
        [
            ":1: unknown column 'group;n;count'; allowed: group, n, count",
            ":1: column group is missing; allowed: group, n, count",
            ":1: column n is missing; allowed: group, n, count",
            ":1: column count is missing; allowed: group, n, count",
        ],
    ),
    "an empty line in the middle": (
        "chart",
        [],
        b"group,n,count\na,3,1\n\nb,3,1\n",
        [":3: 0 cells; allowed: 3, as many as in the header"],
    ),
    "a quote never closed": (
        "chart",
        [],
        b'group,n,count\na,3,1\n"b,3,1\nc,3,1\n',
        [f":3: a quote is opened and never closed; allowed: {QUOTES}"],
    ),
    "text after a closing quote": (
        "chart",
        [],
        b'group,n,count\n"a"b,3,1\n',
        [f":2: a cell goes on after its closing quote; allowed: {QUOTES}"],
    ),
    "a quote inside a bare cell": (
        "chart",
        [],
        b'group,n,count\n"a\nb",3,1\nc"d,3,1\n',
        [f":4: a quote stands inside a cell that is not in quotes; allowed: {QUOTES}"],
    ),
    "a line break inside a name": (
        "chart",
        [],
        b'group,n,count\n"a\r\nb",3,1\n',
        [r":2: group 'a\r\nb' holds a control character; allowed: one line of text"],
    ),
    "a line of ten megabytes": (
        "chart",
        [],
        b"group,n,count\na,3,1\n" + b"x" * 10_000_000 + b",3,1\n",
        [":3: a cell is too long; allowed: at most 131072 characters"],
    ),
    "an empty name": (
        "chart",
        [],
        b"group,n,count\n,3,1\n",
        [":2: group is empty; allowed: a name"],
    ),
    "spaces around a name": (
        "chart",
        [],
        b"group,n,count\n a,3,1\n",
        [":2: group ' a' has spaces around it; allowed: 'a'"],
    ),
    "numbers that are none": (
        "chart",
        [],
        b"group,n,count\na,=1+1,1\nb,3,nan\nc,,1\nd,3,1_0\n",
        [
            ":2: n '=1+1' is not a number; allowed: a whole number from 0 to 1e+09",
            ":3: count 'nan' is not a number; allowed: a whole number from 0 to 1e+09",
            ":4: n is empty; allowed: a whole number from 0 to 1e+09",
            ":5: count '1_0' is not a number; allowed: a whole number from 0 to 1e+09",
        ],
    ),
    "numbers out of range": (
        "chart",
        [],
        b"group,n,count\na,-1,0\nb,2.5,1\nc,1e999,1\nd,3,4\n",
        [
            ":2: n -1 is out of range; allowed: a whole number from 0 to 1e+09",
            ":3: n 2.5 is not whole; allowed: a whole number from 0 to 1e+09",
            ":4: n 1e999 is out of range; allowed: a whole number from 0 to 1e+09",
        ],
    ),
    "a count above its n": (
        "chart",
        [],
        b"group,n,count\na,4,3\nd,3,4\n",
        [":3: count 4 is more than n; allowed: 0 to 3"],
    ),
    "a repeated group": (
        "chart",
        [],
        b"group,n,count\na,4,3\na,4,3\n",
        [f":3: the same group as line 2; allowed: {ROW}"],
    ),
    "an unknown state": (
        "omissions",
        [],
        f"{MARKS}A,s2,1,m1,e1,mised\n{MARK}".encode(),
        [f":2: state 'mised'; allowed: {STATES} (nearest: missed)"],
    ),
    "a mark twice": (
        "omissions",
        [],
        f"{MARKS}{MARK}A,s2,1,m1,e1,done\nA,s1,01,m1,e1,missed\n".encode(),
        [
            f":4: the same cohort, student, attempt, marker, element as line 2; allowed: {ROW}"
        ],
    ),
    "an attempt that is none": (
        "omissions",
        [],
        f"{MARKS}A,s1,0,m1,e1,done\nA,s1,first,m1,e1,done\n".encode(),
        [
            ":2: attempt 0 is out of range; allowed: a whole number from 1 to 1000",
            ":3: attempt 'first' is not a number; allowed: a whole number from 1 to 1000",
        ],
    ),
    "a level without credits": (
        "omissions",
        [],
        f"{MARKS}A,s1,1,m1,e1,level\n".encode(),
        [":2: state 'level' without a credit; allowed: a column credit"],
    ),
    "a judged mark without credit": (
        "omissions",
        [],
        f"{MARKS[:-1]},credit\n{MARK[:-1]},\nA,s2,1,m1,e1,unseen,\nA,s3,1,m1,e1,done,2\n".encode(),
        [":4: credit 2 is out of range; allowed: a number from 0 to 1"],
    ),
    "an empty credit": (
        "omissions",
        [],
        f"{MARKS[:-1]},credit\n{MARK[:-1]},\nA,s2,1,m1,e1,unseen,\n".encode(),
        [":2: credit is empty; allowed: a number from 0 to 1"],
    ),
    "cohorts that are not there": (
        "compare",
        ["--groups", "A", "Bb"],
        f"{MARKS}{MARK}B,s2,1,m1,e1,done\n".encode(),
        [": no cohort 'Bb'; allowed: A, B (nearest: B)"],
    ),
    "a cohort against itself": (
        "compare",
        ["--groups", "A", "A"],
        f"{MARKS}{MARK}".encode(),
        [": cohort 'A' is compared with itself; allowed: two different cohorts"],
    ),
    "an attempt that nobody made": (
        "compare",
        ["--paired", "attempt", "1", "3"],
        f"{MARKS}{MARK}A,s1,2,m1,e1,done\n".encode(),
        [": no attempt '3'; allowed: 1, 2"],
    ),
    "two markers on one side of a pair": (
        "compare",
        ["--paired", "attempt", "1", "2"],
        f"{MARKS}{MARK}A,s1,1,m2,e1,done\nA,s1,2,m1,e1,done\n".encode(),
        [
            ":3: a second mark of the same cohort, student, element on one side; allowed: one mark"
        ],
    ),
    "a rating out of order": (
        "agreement",
        ["--order", "low,high"],
        f"{RATINGS}s1,R1,low\ns1,R2,middle\n".encode(),
        [":3: rating 'middle' is not in the order; allowed: low, high"],
    ),
    "a rating twice": (
        "severity",
        [],
        f"{RATINGS}s1,R1,4\ns1,R1,5\ns2,R1,good\n".encode(),
        [
            f":3: the same subject, rater as line 2; allowed: {ROW}",
            ":4: rating 'good' is not a number; allowed: a number from -1e+09 to 1e+09",
        ],
    ),
    "points that disagree": (
        "items",
        [],
        b"student,element,credit,points\ns1,e1,1,2\ns2,e1,0,3\n",
        [":3: element e1 has 3 points; allowed: 2, as on line 2"],
    ),
    "a cell of Ebel with two shares": (
        "passmark",
        ["--method", "ebel"],
        b"element,relevance,difficulty,expected\ne1,must,easy,0.9\ne2,must,easy,0.8\n",
        [":3: expected is 0.8 in the cell must and easy; allowed: 0.9, as on line 2"],
    ),
    "a judge with limits turned round": (
        "passmark",
        ["--method", "hofstee", "--scores", "SCORES"],
        b"judge,min_pass,max_pass,min_fail,max_fail\nJ,60,50,0,20\nK,50,60,20,10\n",
        [
            ":2: min_pass is above max_pass; allowed: min_pass at most max_pass",
            ":3: min_fail is above max_fail; allowed: min_fail at most max_fail",
        ],
    ),
    "a group that is none": (
        "passmark",
        ["--method", "contrasting-groups"],
        b"student,percent,group\ns1,50,incompetent\n",
        [":2: group 'incompetent'; allowed: competent, not (nearest: competent)"],
    ),
    "a percent above 100": (
        "passmark",
        ["--method", "borderline-regression", "--borderline", "2"],
        b"student,percent,rating\ns1,101,2\ns2,50,\n",
        [
            ":2: percent 101 is out of range; allowed: a number from 0 to 100",
            ":3: rating is empty; allowed: a number from -1e+06 to 1e+06",
        ],
    ),
}


@pytest.mark.parametrize("name", FILES)
def test_each_fault_is_named_with_its_line_and_nothing_else_is_said(name, tmp_path):
    what, options, data, faults = FILES[name]
    file, scores = tmp_path / "t.csv", tmp_path / "scores.csv"
    file.write_bytes(data)
    scores.write_text(f"{SCORES}s1,50\n")
    options = [str(scores) if option == "SCORES" else option for option in options]
    ran = run(what, file, *options)
    assert ran.err.splitlines() == [f"{file}{fault}" for fault in faults]
    assert (ran.exit, ran.out) == (2, "")


def test_a_fault_in_the_scores_names_that_file(tmp_path):
    file, scores = tmp_path / "t.csv", tmp_path / "scores.csv"
    file.write_text("judge,element,probability\nJ,e1,0.5\n")
    scores.write_text(f"{SCORES}s1,50\ns1,50\n")
    ran = run("passmark", file, "--method", "angoff", "--scores", scores)
    assert ran.err == f"{scores}:3: the same student as line 2; allowed: {ROW}\n"


@pytest.mark.parametrize(
    ("name", "words"),
    [("none.csv", "No such file or directory"), ("", "Is a directory")],
)
def test_a_file_that_cannot_be_read_is_a_fault(name, words, tmp_path):
    ran = run("chart", tmp_path / name)
    expected = f"{tmp_path / name}: cannot be read: {words}; allowed: a CSV file\n"
    assert (ran.exit, ran.out, ran.err) == (2, "", expected)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["chart", "t.csv", "--order", "a,b"], "unrecognized arguments: --order"),
        (
            ["omissions", "t.csv", "--by", "student"],
            "'student'; allowed: element, cohort",
        ),
        (["omissions", "t.csv", "--by", "element,element"], "a word stands twice"),
        (["omissions", "t.csv", "--count", "missed,"], "'nothing'; allowed: done"),
        (["omissions", "t.csv", "--attempt", "2"], "invalid choice: '2'"),
        (["compare", "t.csv"], "one of the arguments --groups --paired is required"),
        (
            ["agreement", "t.csv", "--order", "a,,b"],
            "'nothing'; allowed: words by commas",
        ),
        (["passmark", "t.csv"], "the following arguments are required: --method"),
        (["passmark", "t.csv", "--method", "hofstee"], "hofstee needs --scores"),
        (["passmark", "t.csv", "--method", "borderline-group"], "needs --borderline"),
        (
            [
                "passmark",
                "t.csv",
                "--method",
                "contrasting-groups",
                "--scores",
                "s.csv",
            ],
            "contrasting-groups reads its percents from FILE.csv: no --scores",
        ),
        (
            ["passmark", "t.csv", "--method", "ebel", "--borderline", "2"],
            "ebel takes no --borderline",
        ),
        (
            [
                "passmark",
                "t.csv",
                "--method",
                "borderline-regression",
                "--borderline",
                "x",
            ],
            "--borderline of borderline-regression is a number, but got x",
        ),
        (
            ["compare", "T", "--paired", "element", "a", "b"],
            "--paired takes attempt, marker",
        ),
        (
            ["compare", "T", "--paired", "attempt", "1", "2", "--attempt", "last"],
            "--attempt does not go with --paired attempt",
        ),
    ],
)
def test_options_that_do_not_go_together_are_refused(arguments, message, tmp_path):
    file = tmp_path / "t.csv"
    file.write_text(f"{MARKS}{MARK}")
    arguments = [file if a in ("T", "t.csv") else a for a in arguments]
    with pytest.raises(CommandError, match=message):
        run(*arguments)


def test_a_byte_order_mark_bare_line_feeds_and_returns_are_read(tmp_path):
    for data in (
        b"\xef\xbb\xbfgroup,n,count\r\na,4,1\r\n",
        b"group,n,count\na,4,1",
        b"group,n,count\ra,4,1\r",
        b'"group","n","count"\r\n"a","4","1"\r\n\r\n',
    ):
        file = tmp_path / "t.csv"
        file.write_bytes(data)
        assert run("chart", file, "--json").row("a")["rate"] == 0.25


def test_names_may_hold_commas_quotes_and_equals_signs(tmp_path):
    file = tmp_path / "t.csv"
    file.write_bytes(b'group,n,count\n"a ""b"", c",4,1\n"=1+1",4,1\n')
    ran = run("chart", file, "--json")
    assert [row["group"] for row in ran.json["rows"]] == ['a "b", c', "=1+1"]


def test_a_table_of_no_rows_has_no_figures_but_is_no_fault(tmp_path):
    file = tmp_path / "t.csv"
    for what, header, options in (
        ("omissions", MARKS, []),
        ("agreement", RATINGS, []),
        ("severity", RATINGS, []),
        ("items", "student,element,credit\n", []),
        ("chart", "group,n,count\n", []),
        ("passmark", "judge,element,probability\n", ["--method", "angoff"]),
        ("passmark", "student,percent,group\n", ["--method", "contrasting-groups"]),
    ):
        file.write_text(header)
        ran = run(what, file, *options, "--json")
        assert (ran.exit, ran.json["n"]) == (0, 0)
        figures = ran.json["whole"].values()
        assert all(figure["value"] in (None, []) for figure in figures)
