import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from grading.statistics.omissions import Credits, credit_table, left_out, omissions
from grading.statistics.states import pack, to_array

# done, partly, said, missed, unseen, excused, level 1, level 2
CODES = st.sampled_from([1, 2, 3, 4, 5, 6])


def column(*states):
    """One element, a row a student; a number is a level."""
    pairs = [(s, None) if isinstance(s, str) else ("level", s) for s in states]
    return to_array([pack([pair]) for pair in pairs], 1)


def test_unseen_and_excused_are_not_judged():
    found = omissions(column("done", "missed", "unseen", "excused", "open"))
    assert (found.judged[0], found.omitted[0]) == (2, 1)


def test_missed_and_said_count_where_no_credit_is_known():
    found = omissions(column("done", "partly", "said", "missed"))
    assert found.omitted[0] == 2
    assert found.rule == "marks with the state missed or said"


def test_a_mark_that_earns_something_is_no_omission():
    table = credit_table([Credits(said=1.0)])
    found = omissions(column("said", "said", "missed", "partly"), table)
    assert (found.omitted[0], found.rule) == (1, "marks that earned 0")


def test_partly_that_earns_nothing_is_an_omission():
    found = omissions(column("partly", "done"), credit_table([Credits(partly=0)]))
    assert found.omitted[0] == 1


def test_a_level_without_credit_is_an_omission():
    found = omissions(column(1, 2, 3, 1), credit_table([Credits(levels=(0, 0.5, 1))]))
    assert (found.judged[0], found.omitted[0], found.counts["level"][0]) == (4, 2, 4)


def test_counting_by_state_sets_the_credits_aside():
    table = credit_table([Credits(said=1.0)])
    found = omissions(column("said", "missed", "done"), table, count=["said"])
    assert (found.omitted[0], found.rule) == (1, "marks with the state said")


def test_shares_of_states_are_of_the_judged_and_unseen_is_of_all():
    found = omissions(column("done", "partly", "said", "missed", "missed", "unseen"))
    shares = (found.done, found.partly, found.said, found.missed, found.unseen)
    assert_allclose(np.ravel(shares), [0.2, 0.2, 0.2, 0.4, 1 / 6])


def test_an_element_nobody_was_judged_on_says_so():
    figure = omissions(column("unseen", "excused")).figure(0)
    assert (figure.value, figure.n) == (None, 0)
    assert figure.reason == "no mark of it was judged"


def test_a_cohort_of_nobody_has_no_rates():
    found = omissions(to_array([], 3))
    assert [found.figure(i).value for i in range(3)] == [None] * 3


# Newcombe RG (1998) Stat Med 17:857, Table I, method 3: 15 of 148
def test_a_rate_comes_with_its_n_and_wilson_limits():
    figure = omissions(column(*["missed"] * 15, *["done"] * 133)).figure(0)
    assert (figure.n, figure.method) == (148, "Wilson score interval")
    limits = (figure.value, figure.low, figure.high)
    assert_allclose(limits, [15 / 148, 0.0624, 0.1605], atol=5e-5)


def test_a_single_student_has_a_rate_and_a_wide_interval():
    figure = omissions(column("missed")).figure(0)
    assert (figure.value, figure.high, figure.n) == (1.0, 1.0, 1)
    assert figure.low < 0.21


@given(st.lists(st.tuples(CODES, CODES, CODES), min_size=1, max_size=30))
def test_the_marks_left_out_add_up_to_the_counts(rows):
    states = np.array(rows, dtype=np.uint8)
    marks, found = left_out(states), omissions(states)
    assert np.nansum(marks, axis=0).tolist() == found.omitted.tolist()
    assert (~np.isnan(marks)).sum(axis=0).tolist() == found.judged.tolist()


def test_a_mark_without_credit_is_refused():
    table = credit_table([Credits(levels=(0, 1))])
    with pytest.raises(ValueError, match="element number 0 has no credit for level 3"):
        omissions(column(3), table)
    with pytest.raises(ValueError, match="element number 0 has no credit for done"):
        omissions(column("done"), table)


def test_a_byte_that_is_no_state_is_refused():
    with pytest.raises(ValueError, match="a byte that is no state"):
        omissions(np.array([[7]], dtype=np.uint8))


def test_only_judged_states_can_be_counted():
    with pytest.raises(ValueError, match="must be one of done, partly, said, missed"):
        omissions(column("done"), count=["unseen"])
