from __future__ import annotations

from collections.abc import Collection
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.http import QueryDict

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
OMISSIONS = ("assignment", "against", "section", "attempt", "marker", "count")
ATTEMPTS = ("assignment", "section", "count")
CHARTS = ("assignment", "element", "attempt", "count")


class CohortForm(forms.Form):
    """The filters of the cohort's pages, kept in their addresses.

    Each page shows the filters it knows and hands the others on, so that going from one
    page to the next and back loses none.
    """

    assignment = forms.ChoiceField(required=False)
    against = forms.ChoiceField(required=False)
    section = forms.ChoiceField(required=False)
    element = forms.ChoiceField(required=False)
    attempt = forms.ChoiceField(
        choices=[("first", "first"), ("last", "last"), ("all", "all")], required=False
    )
    marker = forms.ModelChoiceField(
        User.objects.none(), required=False, empty_label="all"
    )
    count = forms.ChoiceField(
        choices=list(COUNTS.items()), required=False, label="Counted as left out"
    )

    def __init__(
        self,
        data: QueryDict,
        *,
        cohort: Cohort,
        user: User,
        shows: Collection[str] = OMISSIONS,
    ) -> None:
        self.query = data.copy()
        super().__init__(self.query)
        led = list(
            Assignment.objects.led_by(user)
            .filter(cohort__course=cohort.course)
            .order_by("-due_at")
            .with_releases_first()
        )
        own = [a for a in led if a.cohort_id == cohort.pk]
        self.shown = self._shown(own)
        self._offer("assignment", [(str(a.pk), str(a)) for a in own])
        # Only what shares a rubric can be compared, element by element.
        self.same: list[Assignment] = []
        sections: tuple[Section, ...] = ()
        if self.shown:
            # So that the field says what is shown; a wrong choice still stands to be told.
            self.query.setdefault("assignment", str(self.shown.pk))
            rubric = self.shown.edition.rubric_id
            self.same = [a for a in led if a.edition.rubric_id == rubric]
            self._choose("marker", self.shown.markers.all())
            sections = self.shown.edition.definition.sections
        others = [a for a in self.same if a != self.shown]
        self._offer(
            "against", [("", "nothing"), *((str(a.pk), str(a)) for a in others)]
        )
        self._offer("section", [("", "all"), *((s.key, s.title) for s in sections)])
        self._offer(
            "element",
            [
                ("", "the one most often left out"),
                *((s.title, [(e.key, e.text) for e in s.elements]) for s in sections),
            ],
        )
        for name, field in self.fields.items():
            if name not in shows:
                field.widget = forms.HiddenInput()

    def _shown(self, own: list[Assignment]) -> Assignment | None:
        """The assignment asked for, else the newest with releases, else the newest."""
        asked = [a for a in own if str(a.pk) == self.data.get("assignment")]
        return next(iter(asked + own), None)

    def clean_against(self) -> Assignment | None:
        chosen = self.cleaned_data["against"]
        return next((a for a in self.same if str(a.pk) == chosen), None)

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

    @property
    def address(self) -> str:
        """The filters that were set, as the other pages and the files take them."""
        set_ = {n: v for n, v in self.query.items() if n in self.fields and v}
        return urlencode(set_)

    def _choose(self, name: str, queryset: Any) -> None:
        field = self.fields[name]
        if isinstance(field, forms.ModelChoiceField):
            field.queryset = queryset

    def _offer(self, name: str, choices: Any) -> None:
        field = self.fields[name]
        if isinstance(field, forms.ChoiceField):
            field.choices = choices
