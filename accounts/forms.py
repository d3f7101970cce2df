"""Forms about people and courses; and allauth's, in Bellside's words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from allauth.account import forms as allauth
from allauth.account.fields import SetPasswordField
from django import forms

from accounts.models import AuditEntry, Cohort, Course, Invitation, Membership, User
from accounts.roles import Role
from accounts.roster import Roster

HOW_TO_CHOOSE = (
    "At least 15 characters. Spaces and every kind of letter count: "
    "four or five words that do not belong together make a good one."
)


def _in_our_words(form: forms.BaseForm, **labels: str) -> None:
    """Labels instead of placeholders, which vanish as soon as they are needed."""
    for name, label in labels.items():
        field = form.fields[name]
        field.label = label
        field.help_text = ""
        field.widget.attrs.pop("placeholder", None)


class SignInForm(allauth.LoginForm):  # type: ignore[misc]
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _in_our_words(self, login="E-mail", password="Password")  # noqa: S106 (label)
        self.fields["login"].widget.attrs["autocomplete"] = "username"


class ChangePasswordForm(allauth.ChangePasswordForm):  # type: ignore[misc]
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["password2"]  # the password can be shown instead
        _in_our_words(self, oldpassword="Password until now", password1="New password")
        self.fields["password1"].help_text = HOW_TO_CHOOSE


class ForgottenPasswordForm(allauth.ResetPasswordForm):  # type: ignore[misc]
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _in_our_words(self, email="E-mail")


class NewPasswordForm(allauth.ResetPasswordKeyForm):  # type: ignore[misc]
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["password2"]
        _in_our_words(self, password1="New password")
        self.fields["password1"].help_text = HOW_TO_CHOOSE


class JoinForm(forms.Form):
    """What a newcomer adds to an invitation."""

    name = forms.CharField(
        max_length=200,
        label="Your name",
        help_text="As your course knows you.",
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    password = SetPasswordField(label="Password", help_text=HOW_TO_CHOOSE)

    def __init__(self, *args: Any, invitation: Invitation, **kwargs: Any) -> None:
        kwargs["initial"] = {"name": invitation.name}
        super().__init__(*args, **kwargs)
        field = cast(SetPasswordField, self.fields["password"])
        field.widget.attrs.pop("placeholder", None)
        field.user = User(email=invitation.email, name=self.data.get("name", ""))


class _OfCourseForm(forms.Form):
    """Its `cohort` field offers the cohorts of one course."""

    def __init__(self, *args: Any, course: Course, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.course = course
        field = cast("forms.ModelChoiceField[Cohort]", self.fields["cohort"])
        field.queryset = course.cohorts.all()


class InviteForm(_OfCourseForm):
    """One or many people into one role of a course."""

    role = forms.ChoiceField(choices=Membership.CourseRole.choices, label="As")
    cohort = forms.ModelChoiceField(
        Cohort.objects.none(),
        required=False,
        label="Cohort",
        help_text="For students; a line may name another.",
        empty_label="none",
    )
    people = forms.CharField(
        label="People",
        help_text="One a line: name, e-mail. A student's line may end with a cohort. "
        "Lines pasted from a spreadsheet will do.",
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if {"role", "people"} <= cleaned.keys() and "cohort" not in self.errors:
            roster = Roster(
                cleaned["people"],
                course=self.course,
                role=Role(cleaned["role"]),
                cohort=cleaned["cohort"],
            )
            for fault in roster.faults:
                self.add_error("people", str(fault))
            cleaned["invitees"] = roster.invitees
        return cleaned


class RoleForm(_OfCourseForm):
    """One more role for a person, or a student's other cohort."""

    role = forms.ChoiceField(choices=Membership.CourseRole.choices, label="Role")
    cohort = forms.ModelChoiceField(
        Cohort.objects.none(),
        required=False,
        label="Cohort",
        help_text="For students.",
        empty_label="none",
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if "role" in cleaned and "cohort" not in self.errors:
            is_student = cleaned["role"] == Role.STUDENT
            if is_student and cleaned["cohort"] is None:
                self.add_error("cohort", "A student needs a cohort.")
            if not is_student and cleaned["cohort"] is not None:
                self.add_error("cohort", "Only students have a cohort; leave it empty.")
        return cleaned


class PeopleFilterForm(_OfCourseForm):
    role = forms.ChoiceField(
        choices=[("", "everybody"), *Membership.CourseRole.choices],
        required=False,
        label="Role",
    )
    cohort = forms.ModelChoiceField(
        Cohort.objects.none(), required=False, label="Cohort", empty_label="every"
    )


if TYPE_CHECKING:
    _CourseModelForm = forms.ModelForm[Course]
else:
    _CourseModelForm = forms.ModelForm


class CourseForm(_CourseModelForm):
    class Meta:
        model = Course
        fields = ("title",)


if TYPE_CHECKING:
    _CohortModelForm = forms.ModelForm[Cohort]
else:
    _CohortModelForm = forms.ModelForm


class CohortForm(_CohortModelForm):
    class Meta:
        model = Cohort
        fields = ("title", "starts_on")
        widgets = {"starts_on": forms.DateInput(attrs={"type": "date"})}  # noqa: RUF012
        labels = {"starts_on": "Starts on"}  # noqa: RUF012

    def clean_title(self) -> str:
        """A roster names its cohorts in any case."""
        title = str(self.cleaned_data["title"])
        if self.instance.course.cohorts.filter(title__iexact=title).exists():
            raise forms.ValidationError("A cohort of this title already exists here.")
        return title


class AuditFilterForm(forms.Form):
    person = forms.CharField(
        required=False, max_length=254, label="Person (part of name or e-mail)"
    )
    verb = forms.ChoiceField(
        choices=[("", "everything"), *((v, v) for v in AuditEntry.Verb.values)],
        required=False,
        label="What was done",
    )
    before = forms.IntegerField(
        required=False, min_value=1, max_value=2**62, widget=forms.HiddenInput
    )
