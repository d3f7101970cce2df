from __future__ import annotations

from decimal import Decimal
from typing import Any

import webvtt
from django import forms
from django.core.files.uploadedfile import UploadedFile
from webvtt.errors import MalformedCaptionError, MalformedFileError

from grading.models import Assignment
from grading.moments import read_clock
from grading.recording import check_link

LARGEST_CAPTIONS = 1_000_000  # bytes; captions of 20 minutes are about 40 kB
LONGEST_RECORDING = 3 * 60 * 60


class HandInForm(forms.Form):
    """One recording: its link, how long it is, captions, and the volunteer's consent."""

    link = forms.CharField(
        label="Private link to the recording",
        max_length=2000,
        help_text="Begins with https://. Only people with the link should be able to "
        "open it. Bellside keeps the link, not the recording.",
        widget=forms.URLInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
        validators=[check_link],
    )
    length = forms.CharField(
        label="Length",
        max_length=12,
        help_text="Minutes and seconds, for example 12:40. Filled in by itself where "
        "the recording plays here.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "size": "8"}),
    )
    captions = forms.FileField(
        label="Captions (WebVTT)",
        required=False,
        help_text="A .vtt file up to 1 MB. They help your marker find each step.",
        widget=forms.FileInput(attrs={"accept": ".vtt,text/vtt"}),
    )
    consent = forms.BooleanField(
        label="The person examined agreed, before recording, to being filmed and to my "
        "instructors watching, and knows how to withdraw.",
        error_messages={
            "required": "Without this consent the recording cannot be handed in."
        },
    )

    def __init__(self, *args: Any, assignment: Assignment, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if assignment.captions_required:
            self.fields["captions"].required = True

    def clean_length(self) -> Decimal:
        try:
            seconds = read_clock(self.cleaned_data["length"])
        except ValueError:
            raise forms.ValidationError(
                "Write the length as minutes and seconds, for example 12:40."
            ) from None
        if not 0 < seconds <= LONGEST_RECORDING:
            raise forms.ValidationError("The length must be above 0:00, up to 3 hours.")
        return seconds

    def clean_captions(self) -> str:
        file: UploadedFile | None = self.cleaned_data["captions"]
        if not file:
            return ""
        if file.size is None or file.size > LARGEST_CAPTIONS:
            raise forms.ValidationError("The captions file is larger than 1 MB.")
        try:
            text: str = file.read().decode("utf-8-sig")
            cues = webvtt.from_string(text)
        except UnicodeDecodeError:
            raise forms.ValidationError(
                "The captions file is not UTF-8 text."
            ) from None
        except (MalformedFileError, MalformedCaptionError) as error:
            raise forms.ValidationError(
                f"The captions file is not valid WebVTT: {error}."
            ) from None
        if len(cues) == 0:
            raise forms.ValidationError("The captions file holds no cue.")
        return text
