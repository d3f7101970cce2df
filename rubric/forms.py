from __future__ import annotations

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from accounts.models import Course, User
from accounts.roles import Act
from rubric.definition import Definition, read
from rubric.faults import Faults

LARGEST_FILE = 1_000_000  # bytes; a rubric of 120 elements is about 40 kB


class ImportForm(forms.Form):
    """A rubric file for one course; its faults are the form's errors, all at once."""

    file = forms.FileField(
        label="Rubric file",
        help_text="YAML or JSON in the format bellside-rubric/1, up to 1 MB.",
        widget=forms.ClearableFileInput(attrs={"accept": ".yaml,.yml,.json"}),
    )

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["course"] = forms.ModelChoiceField(
            Course.objects.where_may(user, Act.MANAGE_RUBRICS), empty_label=None
        )
        self.order_fields(["course", "file"])

    def clean_file(self) -> Definition:
        file: UploadedFile = self.cleaned_data["file"]
        if file.size is None or file.size > LARGEST_FILE:
            raise forms.ValidationError("The file is larger than 1 MB.")
        try:
            return read(file.read(), file.name or "the file")
        except Faults as faults:
            raise forms.ValidationError(
                [str(fault) for fault in faults.faults]
            ) from None


class PublishForm(forms.Form):
    note = forms.CharField(
        label="What changed",
        max_length=500,
        required=False,
        help_text="For the people who mark with it. One line is enough.",
    )
