from __future__ import annotations

from typing import Any

from django import forms

from accounts.models import Cohort, User
from grading.cohort import Attempt, Chosen
from grading.models import Assignment
from rubric.definition import Section

COUNTS = {
    "": "what earned no credit",
    "missed": "missed",
    "missed,said": "missed or said only",
    "missed,said,partly": "missed, said only or partly",
}


class CohortForm(forms.Form):
    """The filters of the cohort page, kept in its address."""

    assignment = forms.ModelChoiceField(Assignment.objects.none(), required=False)
    against = forms.ModelChoiceField(
        Assignment.objects.none(), required=False, empty_label="nothing"
    )
    section = forms.ChoiceField(required=False)
    attempt = forms.ChoiceField(
        choices=[("first", "first"), ("last", "last"), ("all", "all")], required=False
    )
    marker = forms.ModelChoiceField(
        User.objects.none(), required=False, empty_label="all"
    )
    count = forms.ChoiceField(
        choices=list(COUNTS.items()), required=False, label="Counted as left out"
    )

    def __init__(self, *args: Any, cohort: Cohort, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        led = Assignment.objects.led_by(user)
        own = led.filter(cohort=cohort)
        self.shown = self._shown(list(own.order_by("-due_at").with_releases_first()))
        self._choose("assignment", own)
        sections: tuple[Section, ...] = ()
        if self.shown:
            # Only what shares a rubric can be compared, element by element.
            same = led.filter(edition__rubric=self.shown.edition.rubric_id)
            self._choose("against", same.exclude(pk=self.shown.pk))
            self._choose("marker", self.shown.markers.all())
            sections = self.shown.edition.definition.sections
        field = self.fields["section"]
        if isinstance(field, forms.ChoiceField):
            field.choices = [("", "all"), *((s.key, s.title) for s in sections)]

    def _shown(self, own: list[Assignment]) -> Assignment | None:
        """The assignment asked for, else the newest with releases, else the newest."""
        asked = [a for a in own if str(a.pk) == self.data.get("assignment")]
        return next(iter(asked + own), None)

    def chosen(self) -> Chosen:
        """What to count, from the fields that were right; the rest at its default."""
        found = getattr(self, "cleaned_data", {})
        attempt: Attempt = found.get("attempt") or "first"
        marker: User | None = found.get("marker")
        count = found.get("count") or ""
        return Chosen(
            attempt=attempt,
            marker=marker.pk if marker else None,
            count=tuple(count.split(",")) if count else (),
        )

    def _choose(self, name: str, queryset: Any) -> None:
        field = self.fields[name]
        if isinstance(field, forms.ModelChoiceField):
            field.queryset = queryset
