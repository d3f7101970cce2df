"""`manage.py rubric`: what it prints, where, and with which exit status."""

import io
import subprocess
import sys
from pathlib import Path

import pytest

from rubric.definition import read
from rubric.definition.listing import listing
from rubric.management.commands.rubric import check, show
from tests.project.tree import ROOT, files, name_of
from tests.rubric.files import PULSE_CHECK, changed
from tests.rubric.test_lint import element, grid, rubric


@pytest.fixture
def written(tmp_path):
    """Writes a file and gives its name."""

    def write(name, content):
        data = content if isinstance(content, bytes) else content.encode()
        (tmp_path / name).write_bytes(data)
        return str(tmp_path / name)

    return write


def printed(act, *arguments):
    out, err = io.StringIO(), io.StringIO()
    return act(*arguments, out, err), out.getvalue(), err.getvalue()


def test_advice_goes_to_standard_output_and_is_no_failure(written):
    name = written("exam.json", rubric([element("a", source=""), element("b")]))
    status, out, err = printed(check, [name])
    assert (status, err) == (0, "")
    assert out.splitlines() == [
        f"{name}: a: No source. Say where this comes from, or that it is common practice.",
        f"{name}: no faults, 1 worth a look",
    ]


def test_faults_go_to_standard_error_by_line_and_the_other_files_are_checked(written):
    bad = written("bad.yaml", changed(("count: 3", "count: 5")))
    good = written("good.json", rubric([element("a")]))
    status, out, err = printed(check, [bad, good])
    assert (status, out) == (2, f"{good}: no faults, nothing worth a look\n")
    assert (
        err
        == f"{bad}:48: count is 5, above the number of elements (4); allowed: 1 to 4\n"
    )


@pytest.mark.parametrize("name", ["nowhere.yaml", "zero\0byte"])
def test_a_file_that_cannot_be_read_is_a_fault(name):
    status, out, err = printed(check, [name])
    assert (status, out) == (2, "")
    assert ": cannot be read: " in err


def test_a_table_has_every_element_its_axes_and_its_points_in_line(written):
    status, out, _ = printed(show, written("pulse.yaml", PULSE_CHECK))
    lines = out.splitlines()
    head = next(line for line in lines if line.lstrip().startswith("element"))
    row = next(line for line in lines if "dorsalis pedis pulse, right" in line)
    assert status == 0
    assert row[head.index("site") :].startswith("dorsalis pedis")
    assert row[head.index("side") :].startswith("right")
    assert row[: head.index("points") + len("points")].endswith(" 1")
    assert lines[-1] == "6 elements, 6 points, 1 critical, 4 rules"


def test_points_that_do_not_end_are_shown_exactly():
    text = listing(
        read(
            rubric([grid("g", sides=["a", "b", "c"], points=None, points_shared=1)]),
            "x",
        )
    )
    assert "  1/3" in text
    assert "Part 0 (3 elements, 1 point)" in text


def test_a_section_says_its_minimum_and_a_rule_what_it_does():
    text = listing(
        read(changed(("effect: {deduct: 5}", "effect: {deduct: 5}, per: side")), "x")
    )
    assert "Opening (1 element, 2 points, at least 50%)" in text
    assert "Arms before feet (before, 5 points off)" in text
    assert "then pulses.palpate.dorsalis-pedis.*, for each side" in text
    assert "critical, not yet" in text


def test_columns_stay_in_line_with_wide_and_combined_signs():
    sites = ["radial", "桡动脉", "e\u0301paule"]
    text = listing(read(rubric([grid("g", "Palpates", sites=sites)]), "x"))
    radial, wide, combined = (line for line in text.splitlines() if "  left" in line)
    # Three signs that are two columns each; one sign more that takes no column.
    assert radial.index("left") - wide.index("left") == 3
    assert combined.index("left") - radial.index("left") == 1


def test_a_faulty_file_is_not_shown(written):
    bad = written("bad.yaml", "title: [")
    status, out, err = printed(show, bad)
    assert (status, out) == (2, "")
    assert err.startswith(f"{bad}:")


@pytest.mark.parametrize("path", files("fixtures/rubrics/*.yaml"), ids=name_of)
def test_every_starter_rubric_is_shown_whole(path):
    definition = read(path.read_bytes(), path.name)
    text = listing(definition)
    assert all(section.title in text for section in definition.sections)
    assert all(rule.text in text for rule in definition.rules)
    assert f"\n{len(definition.elements)} elements, " in text


def test_the_command_needs_no_database_and_loads_nothing_heavy(written):
    script = (
        "import sys; sys.argv = ['manage.py', 'rubric', *sys.argv[1:]]\n"
        "import runpy; runpy.run_path('manage.py', run_name='__main__')\n"
        "heavy = {'numpy', 'scipy', 'weasyprint'} & set(sys.modules)\n"
        "sys.exit(f'loaded: {heavy}' if heavy else 0)\n"
    )
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            script,
            "check",
            written("a.json", rubric([element("a")])),
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env={
            "BELLSIDE_DATABASE": "postgresql://nobody@127.0.0.1:9/none",
            "PATH": str(Path(sys.executable).parent),
        },
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "no faults" in done.stdout


def test_the_command_exits_2_on_a_fault(written):
    done = subprocess.run(
        [sys.executable, "manage.py", "rubric", "show", written("bad.yaml", b"\xff")],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.endswith(
        "bad.yaml:1: the byte 0xFF is not UTF-8; allowed: text saved as UTF-8\n"
    )
