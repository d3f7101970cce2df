"""`manage.py score`: what it prints, where, and with which exit status."""

import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from grading.management.commands.score import run
from grading.scoring import write_marks
from tests.grading.scoring.pulse import FILE, sheet
from tests.project.tree import ROOT

ALL = sheet("done done done done done", global_rating=3)
LATE = sheet("done done missed done missed", global_rating=2)


@pytest.fixture
def marks(tmp_path):
    """Writes a marks file and gives its name."""

    def written(name, content):
        text = content if isinstance(content, str) else write_marks(content)
        (tmp_path / name).write_text(text, encoding="utf-8")
        return str(tmp_path / name)

    return written


def printed(rubric, *names, in_json=True):
    out, err = io.StringIO(), io.StringIO()
    status = run(str(rubric), names, in_json, out, err)
    return status, out.getvalue(), err.getvalue()


def test_json_is_one_object_a_line_in_the_order_given(marks):
    names = [marks("late.json", LATE), marks("all.json", ALL)]
    status, out, err = printed(FILE, *names)
    outcomes = [json.loads(line)["outcome"] for line in out.splitlines()]
    assert (status, outcomes, err) == (0, ["not_yet", "pass"], "")


def test_without_json_it_prints_a_report_of_each_file(marks):
    names = [marks("all.json", ALL), marks("late.json", LATE)]
    status, out, _ = printed(FILE, *names, in_json=False)
    heads = [line for line in out.splitlines() if not line.startswith(" ")]
    assert status == 0
    assert heads == [
        f"{names[0]}: pass, 100.0% (pass mark 75%)",
        f"{names[1]}: not yet, 66.7% (pass mark 75%)",
    ]


def test_one_bad_file_of_several_leaves_nothing_printed(marks):
    bad = marks("bad.json", '{"format": "bellside-marks/1",\n "marks": [{}]}')
    worse = marks("worse.json", "{")
    status, out, err = printed(FILE, marks("all.json", ALL), bad, worse)
    assert (status, out) == (2, "")
    assert err.splitlines() == [
        f"{bad}:2: a mark lacks the key 'element'; allowed: element, state (all needed)",
        f"{bad}:2: a mark lacks the key 'state'; allowed: element, state (all needed)",
        f"{worse}:1: not JSON: Expecting property name enclosed in double quotes "
        "(column 2)",
    ]


def test_a_bad_rubric_is_told_before_any_marks_are_read(marks, tmp_path):
    rubric = tmp_path / "rubric.yaml"
    rubric.write_text(FILE.read_text().replace("count: 3", "count: 5"))
    status, out, err = printed(rubric, marks("worse.json", "{"))
    assert (status, out) == (2, "")
    assert err.startswith(f"{rubric}:")
    assert len(err.splitlines()) == 1


@pytest.mark.parametrize("missing", ["rubric", "marks"])
def test_a_file_that_cannot_be_read_is_a_fault(marks, tmp_path, missing):
    nowhere = str(tmp_path / "nowhere")
    files = [str(FILE), marks("all.json", ALL)]
    files[0 if missing == "rubric" else 1] = nowhere
    status, out, err = printed(*files)
    assert (status, out) == (2, "")
    assert err == f"{nowhere}: cannot be read: No such file or directory\n"


def manage(*arguments, **environment):
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env=environment or None,
    )


def test_the_command_scores_without_a_database(marks, tmp_path):
    done = manage(
        "manage.py",
        "score",
        str(FILE),
        marks("all.json", ALL),
        "--json",
        BELLSIDE_DATABASE="postgresql://nobody@127.0.0.1:9/none",
        PATH=str(Path(sys.executable).parent),
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["percent"] == "100"


def test_the_command_exits_2_on_a_fault_and_prints_nothing(marks):
    done = manage("manage.py", "score", str(FILE), marks("bad.json", "[]"))
    assert (done.returncode, done.stdout) == (2, "")
    assert "bad.json:1: a marks file is a list" in done.stderr


def test_the_command_loads_nothing_heavy(marks):
    script = (
        "import sys; sys.argv = ['manage.py', 'score', *sys.argv[1:]]\n"
        "import runpy; runpy.run_path('manage.py', run_name='__main__')\n"
        "heavy = {'numpy', 'scipy', 'weasyprint'} & set(sys.modules)\n"
        "sys.exit(f'loaded: {heavy}' if heavy else 0)\n"
    )
    done = manage("-c", script, str(FILE), marks("all.json", ALL))
    assert (done.returncode, done.stderr) == (0, "")
