"""What stands beside a draft: its findings, and what its weights do."""

import re

import pytest
from django.template.loader import render_to_string

from rubric.definition import read
from rubric.definition.lint import lint
from rubric.definition.weights import weigh
from tests.rubric.files import PULSE_CHECK
from tests.rubric.test_lint import element, grid, rubric


def shown(template, **context):
    return " ".join(render_to_string(f"rubric/{template}.html", context).split())


def test_a_finding_leads_to_its_part_and_carries_its_mend():
    html = shown("_lint", lint=lint(rubric([element("a", "Feels <it>", source="")])))
    assert "<b>Feels &lt;it&gt;</b>: <span data-words>No source." in html
    assert (
        'data-mend="{&quot;source&quot;: &quot;Common practice, no source&quot;}"'
        in html
    )


def test_errors_stand_before_advice_each_with_glyph_and_word():
    html = shown(
        "_lint",
        lint=lint(rubric([element("a", points="two"), element("b", source="")])),
    )
    assert '#missed"/></svg> 1 must be mended' in html
    assert '#partly"/></svg> 1 worth a look' in html
    assert html.index("must be mended") < html.index("worth a look")


def test_what_is_found_often_is_folded_under_its_count():
    parts = [element(f"k{n}", source="") for n in range(4)]
    html = shown("_lint", lint=lint(rubric(parts)))
    assert "<summary>No source: 4</summary>" in html


def test_what_is_found_seldom_stands_first():
    parts = [element("a", source=""), element("b", source=""), element("c", "Tone")]
    html = shown("_lint", lint=lint(rubric(parts)))
    assert html.index("It does not begin with") < html.index("No source")


def test_nothing_found_is_said():
    assert "Nothing to mend" in shown("_lint", lint=())


def test_the_weights_have_their_chance_their_picture_and_its_table():
    html = shown("_weights", weights=weigh(read(PULSE_CHECK, "x")))
    # 1 - 0.95 x P(3 or 4 of 4 right): 0.95 x 0.98598125 = 0.93668 by hand
    assert "with a chance of <strong>6.3%</strong>" in html
    assert len(re.findall("<g ", html)) == 3
    assert '<th scope="row">At least three of four pulses</th>' in html
    assert "style=" not in html


def test_weights_wait_until_nothing_has_to_be_mended():
    assert "Shown once nothing has to be mended" in shown("_weights", weights=None)


@pytest.mark.django_db
def test_the_builder_shows_both(client_of, lead, course):
    from rubric.models import Rubric

    definition = read(rubric([grid("g", source="")]), "x")
    draft = Rubric.bring_in(definition, course=course, by=lead)
    page = client_of(lead).get(draft.get_absolute_url()).content.decode()
    assert 'data-node="p1" data-key="source">Go there' in page
    assert "What the weights do" in page
