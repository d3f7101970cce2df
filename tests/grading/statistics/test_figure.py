import pytest

from grading.statistics.figure import Figure


@pytest.mark.parametrize("number", [float("nan"), float("inf")])
def test_a_figure_is_never_nan_or_infinite(number):
    with pytest.raises(ValueError, match="must be finite or None"):
        Figure(number)
    with pytest.raises(ValueError, match="must be finite or None"):
        Figure(0.5, low=number, high=1.0)


def test_an_undefined_figure_says_why():
    with pytest.raises(ValueError, match="needs a reason"):
        Figure(None)
    assert Figure(None, reason="all ratings are equal").value is None


def test_a_figure_cannot_be_changed():
    with pytest.raises(AttributeError):
        Figure(0.5).value = 0.6
