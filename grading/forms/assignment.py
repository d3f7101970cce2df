from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from django import forms
from django.utils import timezone

from accounts.models import Cohort, User
from accounts.roles import Act, roles_that_may
from grading.models import Assignment
from rubric.models import Edition

if TYPE_CHECKING:
    _ModelForm = forms.ModelForm[Assignment]
else:
    _ModelForm = forms.ModelForm


class AssignmentForm(_ModelForm):
    """An edition set for one cohort: dates and policy."""

    class Meta:
        model = Assignment
        fields = (
            "title",
            "edition",
            "purpose",
            "opens_at",
            "due_at",
            "return_at",
            "attempts",
            "late",
            "captions_required",
            "names_hidden",
            "markers_shown",
            "hazards_confirmed_by",
            "markers",
        )
        labels: ClassVar = {
            "opens_at": "Opens",
            "due_at": "Due",
            "return_at": "Feedback by",
            "late": "A late recording is",
            "captions_required": "Captions must be handed in",
            "names_hidden": "Hide students' names from markers",
            "markers_shown": "Show markers' names to students",
            "hazards_confirmed_by": "A hazard is confirmed by",
        }
        help_texts: ClassVar = {
            "purpose": "Practice shows the marker total and outcome while marking.",
        }
        widgets: ClassVar = {
            name: forms.DateTimeInput(
                attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"
            )
            for name in ("opens_at", "due_at", "return_at")
        }

    def __init__(self, *args: Any, cohort: Cohort, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        zone = timezone.get_current_timezone_name()
        self.fields["opens_at"].help_text = f"All times here are in {zone}."
        self.fields["edition"] = forms.ModelChoiceField(
            Edition.objects.filter(rubric__course=cohort.course).defer("document"),
            empty_label=None,
        )
        self.fields["markers"] = forms.ModelMultipleChoiceField(
            User.objects.filter(
                memberships__course=cohort.course,
                memberships__role__in=roles_that_may(Act.MARK),
            ).distinct(),
            label="Who marks",
            help_text="Recordings are shared out equally among them.",
            widget=forms.CheckboxSelectMultiple,
        )

    def clean_attempts(self) -> int:
        attempts: int = self.cleaned_data["attempts"]
        if not 1 <= attempts <= 10:
            raise forms.ValidationError("Attempts must be 1 to 10.")
        return attempts

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        opens, due, back = (cleaned.get(n) for n in ("opens_at", "due_at", "return_at"))
        if opens and due and due <= opens:
            self.add_error("due_at", "The due time must be after the opening.")
        if due and back and back < due:
            self.add_error("return_at", "Feedback cannot be returned before it is due.")
        return cleaned
