"""The scoring contract once more, slow and straightforward, to compare with.

Written from the contract's tables alone: Fractions throughout, every figure computed
anew from the marks, every best and worst case by marking the sheet again. What an open
element can still do is found by trying every state, not by reasoning.
"""

from dataclasses import replace
from fractions import Fraction
from itertools import product

from grading.scoring import Mark
from rubric.definition.selectors import select
from rubric.definition.values import State

TAKEN_OUT = (State.UNSEEN, State.EXCUSED)


class Oracle:
    def __init__(self, definition, sheet, filled=(), ruled=None):
        """For a case: the elements filled in, and what ruled orders stay at."""
        self.definition = definition
        self.sheet = sheet
        self.filled = filled
        self.ruled = ruled or {}
        self.mark = {mark.element: mark for mark in sheet.marks}
        self.element = {element.key: element for element in definition.elements}

    def credit(self, key):
        mark, element = self.mark[key], self.element[key]
        if mark.state is State.LEVEL:
            return element.levels[mark.level - 1].credit
        if mark.state in (State.DONE, State.MISSED):
            return Fraction(mark.state is State.DONE)
        default = {State.PARTLY: Fraction(1, 2), State.SAID: Fraction(0)}[mark.state]
        for credit in (element.credit, self.definition.credit):
            own = getattr(credit, mark.state.value)
            if own is not None:
                return own
        return default

    def is_(self, key, *states):
        return key in self.mark and self.mark[key].state in states

    def judged(self, keys):
        return [k for k in keys if k in self.mark and not self.is_(k, *TAKEN_OUT)]

    def performed(self, keys):
        return [k for k in self.judged(keys) if self.credit(k) > 0]

    def unseen(self, keys):
        return [k for k in keys if self.is_(k, State.UNSEEN)]

    def unmarked(self, keys):
        return [k for k in keys if k not in self.mark]

    def possible(self, keys):
        return sum((self.element[k].points for k in self.judged(keys)), Fraction(0))

    def earned(self, keys):
        return sum(
            (self.element[k].points * self.credit(k) for k in self.judged(keys)),
            Fraction(0),
        )

    def percent_of(self, keys):
        possible = self.possible(keys)
        return 100 * self.earned(keys) / possible if possible else None

    def points_in(self, state):
        keys = [k for k in self.element if self.is_(k, state)]
        return sum((self.element[k].points for k in keys), Fraction(0))

    def subjects(self):
        """(key, effect, result) of every critical element and rule."""
        for element in self.definition.elements:
            if element.critical:
                yield element.key, element.critical, self.critical(element.key)
        for rule in self.definition.rules:
            yield rule.key, rule.effect, getattr(self, rule.kind)(rule)

    def critical(self, key):
        if key not in self.mark:
            return "open"
        if self.is_(key, State.EXCUSED):
            return "not_applicable"
        if self.is_(key, State.UNSEEN):
            return "cannot_tell"
        return "met" if self.performed([key]) else "violated"

    def at_least(self, rule):
        keys = select(self.definition, rule.of)
        seen = set()
        choices = (State.DONE, State.MISSED, State.UNSEEN, State.EXCUSED)
        for states in product(choices, repeat=len(self.unmarked(keys))):
            marks = [
                self._full(k, state)
                for k, state in zip(self.unmarked(keys), states, strict=True)
            ]
            tried = replace(self.sheet, marks=(*self.sheet.marks, *marks))
            seen.add(Oracle(self.definition, tried)._counted(keys, rule.count))
        return seen.pop() if len(seen) == 1 else "open"

    def _full(self, key, state):
        levels = self.element[key].levels
        if levels and state in (State.DONE, State.MISSED):
            number = len(levels) if state is State.DONE else 1
            return Mark(key, State.LEVEL, level=number)
        return Mark(key, state)

    def _counted(self, keys, count):
        left = [k for k in keys if not self.is_(k, State.EXCUSED)]
        if not left:
            return "not_applicable"
        count = min(count, len(left))
        performed, unseen = len(self.performed(left)), len(self.unseen(left))
        if performed < count <= performed + unseen:
            return "cannot_tell"
        return "violated" if performed + unseen < count else "met"

    def before(self, rule):
        if rule.key in self.ruled:
            return self.ruled[rule.key]
        first = select(self.definition, rule.first)
        then = select(self.definition, rule.then)
        both = [*first, *then]
        values = {None}
        if rule.per:
            values = {getattr(self.element[k], rule.per) for k in both}
        found, ordered = set(), False
        for value in values:
            sides = [
                [
                    k
                    for k in side
                    if not rule.per or getattr(self.element[k], rule.per) == value
                ]
                for side in (first, then)
            ]
            found.add(self._ordered(*sides, rule.slack_seconds))
            ordered |= all(self._acts(side) for side in sides)
        result = next(
            r
            for r in [
                "violated",
                "open",
                "not_checked",
                "cannot_tell",
                "met",
                "not_applicable",
            ]
            if r in found
        )
        ruled = [r.result for r in self.sheet.rulings if r.rule == rule.key]
        if ruled and ordered:
            return ruled[0]
        if result in ("violated", "not_checked") and rule.effect.kind != "flag":
            return "awaited"
        return result

    def _acts(self, side):
        here = [k for k in side if k not in self.filled]
        return self.performed(here) + self.unseen(here)

    def _ordered(self, first, then, slack):
        sides = [[k for k in s if k not in self.filled] for s in (first, then)]
        if any(not self._acts(side) and not self.unmarked(side) for side in sides):
            return "not_applicable"
        times = [[self.mark[k].at for k in self.performed(side)] for side in sides]
        untimed = None in times[0] + times[1]
        violated = (
            not untimed
            and all(times)
            and Fraction(max(times[0])) > Fraction(min(times[1])) + slack
        )
        if violated:
            return "violated"
        if self.unmarked(first + then):
            return "open"
        if untimed:
            return "not_checked"
        return "cannot_tell" if self.unseen(sides[0] + sides[1]) else "met"

    def hazard(self, rule):
        here = [s for s in self.sheet.hazards if s.rule == rule.key]
        if not here:
            return "met"
        counts = rule.effect.kind == "flag" or any(s.confirmed for s in here)
        return "violated" if counts else "awaited"

    def within(self, rule):
        sheet = self.sheet
        if sheet.length_seconds is None:
            return "not_checked"
        used = Fraction(sheet.length_seconds) - Fraction(sheet.start_at)
        allowed = (rule.minutes + Fraction(sheet.extra_minutes)) * 60
        return "violated" if used > allowed else "met"

    def effects(self, kind):
        return [
            effect.amount
            for _, effect, result in self.subjects()
            if result == "violated" and effect.kind == kind
        ]

    def percent(self):
        raw = self.percent_of(self.element)
        if raw is None:
            return None
        lowered = raw - sum(self.effects("deduct"))
        return max(Fraction(0), min([lowered, *self.effects("cap")]))

    def is_incomplete(self):
        return bool(
            self.unmarked(self.element)
            or (self.definition.global_rating and self.sheet.global_rating is None)
            or any(result == "awaited" for _, _, result in self.subjects())
        )

    def case(self, state):
        """The best (done) or worst (missed) case: percent, outcome."""
        unseen = self.unseen(self.element)
        marks = tuple(
            self._full(m.element, state) if m.element in unseen else m
            for m in self.sheet.marks
        )
        rulings = {ruling.rule for ruling in self.sheet.rulings}
        ruled = {key: result for key, _, result in self.subjects() if key in rulings}
        sheet = replace(self.sheet, marks=marks)
        case = Oracle(self.definition, sheet, unseen, ruled)
        return case.percent(), "pass" if case.reaches() else "not_yet"

    def reaches(self):
        """Steps 2, 6 and 7."""
        percent = self.percent()
        if self.effects("fail") or percent is None:
            return False
        return percent >= self.definition.pass_percent and all(
            self.minimum_met(section) is not False
            for section in self.definition.sections
        )

    def minimum_met(self, section):
        percent = self.percent_of([element.key for element in section.elements])
        if percent is None or section.minimum_percent is None:
            return None
        return percent >= section.minimum_percent

    def in_doubt(self):
        """Step 5."""
        total = self.possible(self.element) + self.points_in(State.UNSEEN)
        limit = self.definition.unseen_limit_percent * total / 100
        return (
            any(
                result == "cannot_tell" and effect.kind in ("fail", "cap")
                for _, effect, result in self.subjects()
            )
            or self.points_in(State.UNSEEN) > limit
            or (
                self.definition.unseen == "range"
                and self.case(State.MISSED)[1] == "not_yet"
            )
        )

    def outcome(self):
        if self.is_incomplete():
            return "incomplete"
        if self.effects("fail"):
            return "not_yet"
        if not self.possible(self.element):
            return "cannot_be_judged"
        if self.case(State.DONE)[1] != "pass":
            return "not_yet"
        if self.in_doubt():
            return "cannot_be_judged"
        return "pass" if self.reaches() else "not_yet"
