"""The short report of the score command."""

from decimal import Decimal

from grading.scoring import Ruling, Sheet, report, score
from tests.grading.scoring.pulse import PULSE_CHECK, sheet
from tests.grading.scoring.rubrics import cap, element, rubric
from tests.grading.scoring.rubrics import sheet as small_sheet


def test_a_complete_sheet():
    marked = sheet(
        "done excused partly partly unseen",
        "3 - 40 20 22",
        rulings=(Ruling("arms-first", "violated"),),
        length_seconds=Decimal(118),
    )
    assert report("m.json", score(PULSE_CHECK, marked)).splitlines() == [
        "m.json: cannot be judged, 70.0% (pass mark 75%)",
        "  At least three of four pulses: 2 performed and 1 not seen, 3 needed, so it "
        "cannot be judged from this recording.",
        "  20.0% of the points could not be seen in this recording; at most 10% may be.",
        "  70.0% is below the pass mark of 75%.",
        "  Arms before feet: the marker ruled that the order was not kept, so 5 "
        "percentage points are taken off.",
        "  points: 3 of 4",
        "  taken off: 5 percentage points",
        "  points not seen: 1",
        "  points excused: 1",
        "  range: 55.0% not yet to 75.0% pass",
        "  section opening: 2 of 2, 100.0%",
        "  section pulses: 1 of 2, 50.0%",
        "  section manner: 0 of 0",
        "  check enough-pulses: cannot tell (fail)",
        "  check arms-first: violated at 0:20 (deduct 5)",
    ]


def test_a_cap_is_shown():
    definition = rubric(element("a", 0, critical=cap(60)), "b")
    text = report("m.json", score(definition, small_sheet("a:missed b:done")))
    assert "  at most: 60%" in text.splitlines()
    assert "  check a: violated (cap 60)" in text.splitlines()


def test_of_many_open_elements_only_the_first_few_are_named():
    definition = rubric(*"abcdefgh")
    assert report("m.json", score(definition, Sheet())).splitlines() == [
        "m.json: incomplete (pass mark 50%)",
        "  Does a: no state yet.",
        "  Does b: no state yet.",
        "  Does c: no state yet.",
        "  Does d: no state yet.",
        "  Does e: no state yet.",
        "  3 more elements: no state yet.",
        "  points: 0 of 0",
        "  section all: 0 of 0",
    ]
