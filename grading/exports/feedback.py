"""Puts a release into the words of a feedback; page, PDF and WebVTT say the same."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from grading.exports import feedback_words as words
from grading.exports.feedback_kin import correction_by, omitted_before
from grading.exports.feedback_values import (
    Feedback,
    Finding,
    Findings,
    Moment,
    Part,
    Remark,
    Row,
    Task,
)
from grading.exports.webvtt import Cue, comments_as_webvtt
from grading.models import Release
from grading.moments import as_clock
from grading.pictures.bars import bar
from grading.scoring import Check, Mark
from grading.scoring.wording import state_in_words
from grading.scoring.work_first import WorkOn, work_first
from rubric.definition import Definition, Effect, Element, State
from rubric.models import definition_of

WEIGHTY = {"critical", "hazard"}
QUIET = {"met", "not_applicable"}


def feedback_of(release: Release, kin: Sequence[Release], *, name: str) -> Feedback:
    """Put a release into words; asks the store nothing.

    `release` comes from `for_feedback()`, `kin` from `kin_of`. Figures and outcome are
    the frozen ones; only what to work on first is chosen from the marks anew.
    """
    contents = release.document.contents
    result: Mapping[str, Any] = contents["result"]
    definition = definition_of(release.edition)
    marks = {entry["element"]: _mark(entry) for entry in contents["marks"]["marks"]}
    checks = [_check(entry) for entry in result["checks"]]
    remarks = tuple(_remark(definition, entry) for entry in contents["comments"])
    chosen = work_first(
        definition,
        list(marks.values()),
        checks,
        omitted_before(definition, release, kin),
    )
    weighty = [check for check in checks if check.kind in WEIGHTY]
    rules = [check for check in checks if check.kind not in WEIGHTY]
    shown = result["percent_shown"]
    return Feedback(
        release=release,
        definition=definition,
        name=name,
        outcome=words.OUTCOMES[release.outcome],
        percent="" if shown is None else f"{shown}%",
        pass_mark=words.pass_mark(definition),
        because=words.why(definition, result),
        also=tuple(reason["text"] for reason in result["reasons"][1:]),
        span=words.span(definition, result),
        tasks=tuple(_task(definition, thing, remarks) for thing in chosen),
        parts=_parts(definition, result["sections"], marks, remarks),
        weighty=_findings(definition, weighty, contents["marks"]),
        rules=_findings(definition, rules, contents["marks"]),
        remarks=remarks,
        marked_by=_marked_by(release),
        correction=correction_by(definition, release, kin),
        newer=next((r for r in kin if r.corrects_id == release.pk), None),
    )


def comments_file(feedback: Feedback) -> str:
    """The comments as the text of a WebVTT file."""
    cues = [
        Cue(
            at=remark.moment.at if remark.moment else None,
            heading=f"{remark.word}: {remark.about}" if remark.about else remark.word,
            text=remark.text,
        )
        for remark in feedback.remarks
    ]
    return comments_as_webvtt(cues, title=feedback.title, length=feedback.length)


def _mark(entry: Mapping[str, Any]) -> Mark:
    at = entry.get("at")
    return Mark(
        entry["element"],
        State(entry["state"]),
        None if at is None else Decimal(str(at)),
        entry.get("level"),
        entry.get("reason", ""),
    )


def _check(entry: Mapping[str, Any]) -> Check:
    effect = entry["effect"]
    if isinstance(effect, str):
        read = Effect(effect)  # type: ignore[arg-type]  # one of the four, as frozen
    else:
        ((kind, amount),) = effect.items()
        read = Effect(kind, Fraction(str(amount)))
    return Check(
        key=entry["key"],
        kind=entry["kind"],
        effect=read,
        result=entry["result"],
        elements=tuple(entry["elements"]),
        at=None if entry["at"] is None else Decimal(str(entry["at"])),
    )


def _moment(at: Decimal | float | None) -> Moment | None:
    return None if at is None else Moment(float(at), as_clock(at))


def _element(definition: Definition, key: str) -> Element:
    return definition.elements[definition.index[key]]


def _remark(definition: Definition, entry: Mapping[str, Any]) -> Remark:
    key = entry.get("element") or ""
    return Remark(
        kind=entry["kind"],
        word=words.KINDS[entry["kind"]],
        element=key,
        about=_element(definition, key).text if key else "",
        text=entry["text"].strip(),
        moment=_moment(entry.get("at")),
    )


def _parts(
    definition: Definition,
    figures: Sequence[Mapping[str, Any]],
    marks: Mapping[str, Mark],
    remarks: Sequence[Remark],
) -> tuple[Part, ...]:
    about = defaultdict(list)
    for remark in remarks:
        about[remark.element].append(remark)
    parts = []
    for section, figure in zip(definition.sections, figures, strict=True):
        possible, got = words.exact(figure["possible"]), words.exact(figure["earned"])
        points = words.section_points(possible, got)
        minimum = section.minimum_percent
        parts.append(
            Part(
                key=section.key,
                title=section.title,
                points=points,
                minimum=words.minimum(minimum, figure["minimum_met"]),
                bar=bar(
                    float(got / possible) if possible else None,
                    f"{section.title}: {points}",
                    None if minimum is None else float(minimum),
                ),
                rows=tuple(
                    _row(definition, element, marks[element.key], about[element.key])
                    for element in section.elements
                ),
            )
        )
    return tuple(parts)


def _row(
    definition: Definition, element: Element, mark: Mark, remarks: Sequence[Remark]
) -> Row:
    return Row(
        key=element.key,
        text=element.text,
        glyph=words.glyph_of(definition, mark),
        word=state_in_words(element, mark),
        points=words.points_of(definition, element, mark),
        critical=element.critical is not None,
        reason=mark.reason,
        moment=_moment(mark.at),
        remarks=tuple(remarks),
    )


def _findings(
    definition: Definition, checks: Iterable[Check], marks: Mapping[str, Any]
) -> Findings:
    texts = {rule.key: rule.text for rule in definition.rules}
    rulings = {ruling["rule"]: ruling for ruling in marks.get("rulings", ())}
    outstanding = []
    quiet: dict[str, list[str]] = defaultdict(list)
    for check in checks:
        glyph, word = words.verdict_on(check)
        text = texts.get(check.key) or _element(definition, check.key).text
        note = words.ruled(rulings.get(check.key))
        if check.result in QUIET:
            quiet[word].append(f"{text} ({note})" if note else text)
            continue
        sighted = [s["at"] for s in marks.get("hazards", ()) if s["rule"] == check.key]
        moments = [_moment(at) for at in sighted or [check.at]]
        outstanding.append(
            Finding(
                text=text,
                glyph=glyph,
                word=word,
                effect=words.what_it_does(check),
                note=note,
                moments=tuple(moment for moment in moments if moment),
            )
        )
    outstanding.sort(key=lambda finding: finding.glyph != "alert")
    return Findings(
        tuple(outstanding), tuple((word, tuple(told)) for word, told in quiet.items())
    )


def _task(definition: Definition, thing: WorkOn, remarks: Sequence[Remark]) -> Task:
    """The marker's own next step where there is one, else what the rubric looks for."""
    told = [
        remark.text
        for remark in remarks
        if remark.kind == "improve" and remark.element in thing.elements
    ]
    expected = [
        element.expects
        for element in (_element(definition, key) for key in thing.elements)
        if element.expects
    ]
    return Task(
        what=thing.what,
        way=words.WAYS[thing.way],
        cost=words.what_it_cost(thing),
        advice=(told or expected or [""])[0],
        said_by="marker" if told else "rubric",
        again=bool(thing.again),
        moment=_moment(thing.at),
    )


def _marked_by(release: Release) -> str:
    if release.assignment.markers_shown:
        return release.marking.marker.name
    return "one instructor"
