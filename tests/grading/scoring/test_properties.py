"""What holds for every rubric and every sheet."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from grading.scoring import credit_of, earned, score
from rubric.definition.values import Before, State
from tests.grading.scoring.oracle import Oracle
from tests.grading.scoring.strategies import marked, marks

# No deadline: a busy machine is no fault of the code.
many = settings(max_examples=80, deadline=None)
few = settings(max_examples=25, deadline=None)


@many
@given(marked())
def test_the_scorer_agrees_with_a_slow_reading_of_the_contract(case):
    definition, sheet = case
    oracle = Oracle(definition, sheet)
    result = score(definition, sheet)
    assert [(c.key, c.effect, c.result) for c in result.checks] == list(
        oracle.subjects()
    )
    assert result.outcome == oracle.outcome()
    assert result.possible == oracle.possible(oracle.element)
    assert result.earned == oracle.earned(oracle.element)
    assert result.raw == oracle.percent_of(oracle.element)
    assert result.deducted == sum(oracle.effects("deduct"))
    assert result.cap == min(oracle.effects("cap"), default=None)
    assert result.unseen_points == oracle.points_in(State.UNSEEN)
    assert result.excused_points == oracle.points_in(State.EXCUSED)
    for figure, section in zip(result.sections, definition.sections, strict=True):
        keys = [element.key for element in section.elements]
        assert figure.possible == oracle.possible(keys)
        assert figure.earned == oracle.earned(keys)
        assert figure.percent == oracle.percent_of(keys)
        assert figure.minimum_met == oracle.minimum_met(section)


@many
@given(marked(complete=True))
def test_percent_and_range_agree_with_a_slow_reading_of_the_contract(case):
    definition, sheet = case
    oracle = Oracle(definition, sheet)
    result = score(definition, sheet)
    worst, best = result.range.worst, result.range.best
    assert result.percent == oracle.percent()
    assert (worst.percent, worst.outcome) == oracle.case(State.MISSED)
    assert (best.percent, best.outcome) == oracle.case(State.DONE)


@few
@given(marked(), st.data())
def test_the_order_of_marks_does_not_matter(case, data):
    definition, sheet = case
    shuffled = replace(
        sheet,
        marks=tuple(data.draw(st.permutations(sheet.marks))),
        hazards=tuple(data.draw(st.permutations(sheet.hazards))),
        rulings=tuple(data.draw(st.permutations(sheet.rulings))),
    )
    assert score(definition, shuffled) == score(definition, sheet)


@few
@given(marked(complete=True), st.data())
def test_more_credit_never_lowers_percent_except_through_an_order(case, data):
    definition, sheet = case
    rules = tuple(rule for rule in definition.rules if not isinstance(rule, Before))
    definition = replace(definition, rules=rules)
    sheet = replace(sheet, rulings=())
    judged = [mark for mark in sheet.marks if credit_of(definition, mark) is not None]
    if not judged:
        return
    mark = data.draw(st.sampled_from(judged))
    element = definition.elements[definition.index[mark.element]]
    other = data.draw(marks(element))
    credits = (credit_of(definition, mark), credit_of(definition, other))
    if credits[1] is None or credits[1] < credits[0]:
        return
    better = replace(sheet, marks=tuple(other if m is mark else m for m in sheet.marks))
    before, after = score(definition, sheet), score(definition, better)
    assert before.percent is None or after.percent >= before.percent


@few
@given(marked(complete=True))
def test_the_worst_case_is_never_better_than_the_best(case):
    cases = score(*case).range
    worst, best = cases.worst, cases.best
    assert worst.percent is None or worst.percent <= best.percent
    assert (worst.outcome, best.outcome) != ("pass", "not_yet")


@few
@given(marked())
def test_the_figures_are_the_sums_of_the_sections(case):
    result = score(*case)
    assert result.possible == sum(s.possible for s in result.sections)
    assert result.earned == sum(s.earned for s in result.sections)


@few
@given(marked())
def test_the_points_earned_are_the_sum_over_the_marks(case):
    definition, sheet = case
    each = [earned(definition, mark) for mark in sheet.marks]
    assert score(definition, sheet).earned == sum(p for p in each if p is not None)


def without(definition, gone):
    """The rubric without the elements named; grids written out, selectors narrowed."""
    rules = []
    for rule in definition.rules:
        kept = {
            name: tuple(key for key in getattr(rule, name) if key not in gone)
            for name in ("of", "first", "then")
            if hasattr(rule, name)
        }
        rules.append(replace(rule, **kept))
    sections = tuple(
        replace(section, parts=tuple(e for e in section.elements if e.key not in gone))
        for section in definition.sections
    )
    return replace(definition, sections=sections, rules=tuple(rules))


@many
@given(marked())
def test_excusing_an_element_equals_a_rubric_without_it(case):
    definition, sheet = case
    gone = {mark.element for mark in sheet.marks if mark.state is State.EXCUSED}
    shorter = replace(
        sheet, marks=tuple(m for m in sheet.marks if m.element not in gone)
    )
    excused = score(definition, sheet)
    left_out = score(without(definition, gone), shorter)
    assert left_out == replace(
        excused,
        checks=tuple(check for check in excused.checks if check.key not in gone),
        excused_points=Fraction(0),
    )


@many
@given(marked(), st.data())
def test_a_check_that_is_decided_stays_while_the_rest_is_marked(case, data):
    definition, sheet = case
    done = {mark.element for mark in sheet.marks}
    rest = [data.draw(marks(e)) for e in definition.elements if e.key not in done]
    now = score(definition, sheet).checks
    later = score(definition, replace(sheet, marks=(*sheet.marks, *rest))).checks
    for early, late in zip(now, later, strict=True):
        by_the_times = early.kind == "before" and early.result in (
            "violated",
            "awaited",
        )
        ruled = early.key in {ruling.rule for ruling in sheet.rulings}
        if early.result != "open" and (not by_the_times or ruled):
            assert late.result == early.result


@few
@given(marked())
def test_an_open_check_reads_an_element_without_a_state(case):
    result = score(*case)
    for check in result.checks:
        if check.result == "open":
            assert set(check.elements) & set(result.open.elements)


@few
@given(marked())
def test_every_outcome_has_reasons_and_a_pass_is_never_incomplete(case):
    result = score(*case)
    assert result.reasons
    assert bool(result.open) == (result.outcome == "incomplete")
    assert (result.range is None) == (result.outcome == "incomplete")
