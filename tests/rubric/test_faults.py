import copy

import pytest

from rubric.faults import Fault, Faults, nearest, one_of, quoted


def test_a_fault_is_one_line_with_place_wrong_and_allowed():
    fault = Fault("exam.yaml", 12, "points is 'two'", "a number from 0 to 1000")
    assert (
        str(fault) == "exam.yaml:12: points is 'two'; allowed: a number from 0 to 1000"
    )


def test_a_fault_without_line_or_allowed_leaves_them_out():
    assert (
        str(Fault("exam.yaml", None, "the file is empty"))
        == "exam.yaml: the file is empty"
    )


@pytest.mark.parametrize("breaking", ["\n", "\r", "\x85", "\u2028", "\x1b", "\udc80"])
def test_a_fault_stays_on_one_printable_line(breaking):
    line = str(Fault(f"a{breaking}b", 1, f"c{breaking}d", f"e{breaking}f"))
    assert line.isprintable()
    assert line.encode()


def test_accents_and_other_scripts_are_shown_as_they_are():
    assert quoted("pouls fémoral 脈") == "'pouls fémoral 脈'"


def test_a_long_text_is_cut_to_60_characters():
    assert quoted("x" * 60) == "'" + "x" * 60 + "'"
    assert quoted("x" * 61) == "'" + "x" * 57 + "...'"


def test_the_nearest_allowed_word_is_pointed_out():
    assert one_of(["title", "language"], "tittle") == "title, language (nearest: title)"
    assert one_of(["title", "language"], "zzz") == "title, language"
    assert one_of(["title", "language"]) == "title, language"


def test_nothing_is_compared_with_more_than_8000_characters():
    words = ["palpate", "x" * 7_993]
    assert nearest(words, "palpat") == "palpate"
    assert nearest([*words, "x"], "palpat") is None


def test_faults_are_all_told_in_order():
    faults = Faults([Fault("a", 2, "second"), Fault("a", 1, "first")])
    assert str(faults) == "a:2: second\na:1: first"


def test_no_fault_is_no_reason_to_raise():
    with pytest.raises(ValueError, match="at least one"):
        Faults([])


def test_faults_survive_being_copied():
    faults = Faults([Fault("a", 2, "wrong")])
    assert copy.copy(faults).faults == faults.faults
