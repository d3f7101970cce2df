"""The form pack: what each field must carry for eye and ear."""

import pytest
from django import forms
from django.template.loader import render_to_string


class Example(forms.Form):
    link = forms.URLField(label="Link", help_text="https only", assume_scheme="https")
    note = forms.CharField(label="Note", required=False)
    agree = forms.BooleanField(label="I agree")
    side = forms.ChoiceField(
        label="Side", choices=[("l", "left"), ("r", "right")], widget=forms.RadioSelect
    )
    secret = forms.CharField(widget=forms.PasswordInput)


@pytest.fixture
def shown():
    def render(data=None):
        form = Example(data)
        return render_to_string(
            "bellside/uni_form.html",
            {"form": form, "field_template": "bellside/field.html"},
        )

    return render


def test_a_fields_help_and_error_are_tied_to_it(shown):
    text = shown({"link": "no link"})

    assert 'aria-describedby="id_link_helptext id_link_error"' in text
    assert 'id="id_link_helptext">https only' in text
    assert 'id="id_link_error"' in text
    assert 'aria-invalid="true"' in text


def test_the_summary_leads_to_each_faulty_field(shown):
    text = shown({"link": "https://a.example", "secret": "x"})

    assert 'role="alert"' in text
    assert '<a href="#id_agree">I agree</a>' in text
    assert '<a href="#id_side">Side</a>' in text
    assert '<a href="#id_link">' not in text


def test_a_choice_is_a_group_with_a_legend_and_a_label_each(shown):
    text = shown()

    assert '<fieldset class="field" id="id_side">' in text
    assert '<label for="id_side_1">' in text


def test_what_may_stay_empty_says_so_in_words(shown):
    assert shown().count("(optional)") == 1


def test_a_password_can_be_shown(shown):
    assert 'aria-controls="id_secret" hidden>Show</button>' in shown()
