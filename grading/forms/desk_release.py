from __future__ import annotations

from django import forms


class ReopenForm(forms.Form):
    """Why a released marking is opened again."""

    reason = forms.CharField(
        label="What has to be corrected, and why",
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="The release stays as it is until the correction is released.",
    )


class ReleaseForm(forms.Form):
    """One confirmation. `version` is that of the sheet which was looked at."""

    version = forms.IntegerField(widget=forms.HiddenInput)


class CorrectionForm(ReleaseForm):
    """A release that replaces another says why."""

    reason = forms.CharField(
        label="What was corrected, and why",
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="The student reads this beside the new result.",
    )
