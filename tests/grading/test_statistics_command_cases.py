"""Every worked example of fixtures/checks/cases.json, with its source there."""

import json
from pathlib import Path

import pytest
from django.conf import settings

from grading.statistics.proportions import benjamini_hochberg
from grading.statistics.reliability import feldt, spearman_brown
from tests.grading.statistics.running import run, write_csv

CASES = json.loads((Path(settings.BASE_DIR) / "fixtures/checks/cases.json").read_text())
BY_COMMAND = [case for case in CASES if case["via"] == "command"]
OTHERS = {case["id"]: case for case in CASES if case["via"] == "function"}


def figure(ran, row, name):
    if row != "whole":
        rows = [
            found
            for found in ran.json["rows"]
            if row == "/".join(cell for cell in found.values() if isinstance(cell, str))
        ]
        (found,) = [found for found in rows if name in found]
        assert (found[name] is None) == (name in found["reasons"])
        return found[name]
    for ending in ("low", "high"):
        if name.endswith(f"_{ending}") and name not in ran.json["whole"]:
            return ran.json["whole"][name.removesuffix(f"_{ending}")][ending]
    found = ran.json["whole"][name]
    assert found["value"] is not None or found["reason"]
    return found["value"]


@pytest.mark.parametrize("case", BY_COMMAND, ids=lambda case: case["id"])
def test_the_command_gives_the_published_figures(case, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    table = write_csv(tmp_path / "t.csv", case["data"]["columns"], case["data"]["rows"])
    for name, file in case["data"].get("files", {}).items():
        write_csv(tmp_path / name, file["columns"], file["rows"])
    ran = run(case["what"], table, *case["options"], "--json")
    assert ran.exit == case.get("exit", 0), ran.err
    named = [int(line.split(":")[1]) for line in ran.err.splitlines() if line]
    assert named == case.get("fault_lines", [])
    assert (ran.out == "") == bool(ran.exit)
    for place, expected in case["expected"].items():
        found = figure(ran, *place.split(": "))
        if isinstance(expected, (int, float)):
            tolerance = case.get("tolerances", {}).get(place, case["tolerance"])
            expected = pytest.approx(expected, abs=tolerance, rel=0)
        assert found == expected, place


@pytest.mark.parametrize("name", ["bh-1995", "bh-mcdonald"])
def test_q_is_that_of_the_published_lists(name):
    case = OTHERS[name]
    q = benjamini_hochberg([p for _, p in case["data"]["rows"]])
    keys = [f"{element}: q" for element, _ in case["data"]["rows"]]
    assert q.tolist() == pytest.approx(
        [case["expected"][key] for key in keys], abs=1e-6
    )
    expected = case["expected"].get("whole: q_at_most_0.05")
    assert expected is None or (q <= 0.05).sum() == expected


@pytest.mark.parametrize("name", ["feldt-1987", "feldt-cocron"])
def test_the_interval_of_alpha_is_that_of_feldt(name):
    data, expected = OTHERS[name]["data"], OTHERS[name]["expected"]
    limits = feldt(data["alpha"], data["persons"], data["items"], data["level"])
    assert limits == pytest.approx(tuple(expected.values()), abs=1e-6)


def test_spearman_brown_steps_up_as_shrout_and_fleiss_do():
    case = OTHERS["spearman-brown"]
    found = spearman_brown(case["data"]["reliability"], case["data"]["lengths"][0])
    assert found == pytest.approx(case["expected"]["whole: spearman_brown_4"], abs=1e-6)


def test_no_case_is_left_out():
    tested = {"bh-1995", "bh-mcdonald", "feldt-1987", "feldt-cocron", "spearman-brown"}
    assert len(CASES) == 57
    assert set(OTHERS) == tested
