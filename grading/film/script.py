"""The demo's script: an examination act by act, and what follows from it.

The captions, the expected sheet and the frames are all read from one script, so that
what is shown, what is heard and what a careful marker would give cannot drift apart.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

FORMAT = "bellside-demo-script/1"
HOW = ("done", "partly", "said", "unseen", "excused", "level")
NEEDED = ("rubric", "length", "acts", "left_out", "global_rating", "rulings", "result")
# A caption stays for as long as the words need to be read, not for a whole long act.
SECONDS_PER_WORD = 0.42


@dataclass(frozen=True)
class Act:
    """What happens from `at` (whole seconds) until the next act."""

    at: int
    element: str = ""
    how: str = ""
    level: int | None = None
    why: str = ""
    hazard: str = ""
    view: str = ""
    posture: str = ""
    gown: str = ""
    look: tuple[str, ...] = ()
    touch: tuple[str, ...] = ()
    held: str = ""
    note: str = ""
    by: str = "student"
    say: str = ""


@dataclass(frozen=True)
class Script:
    rubric: str
    length: int
    acts: tuple[Act, ...]
    left_out: tuple[str, ...]
    global_rating: int
    rulings: tuple[dict[str, str], ...]
    result: dict[str, Any] = field(default_factory=dict)

    def end(self, index: int) -> int:
        """When the act at `index` ends, in seconds."""
        following = self.acts[index + 1 :]
        return following[0].at if following else self.length


def read_script(path: Path) -> Script:
    """The script in a YAML file. A view, posture and gown last until changed."""
    document = YAML(typ="safe").load(path.read_text("utf-8"))
    if document.get("format") != FORMAT:
        raise ValueError(f"{path}: format must be {FORMAT}")
    if missing := [key for key in NEEDED if key not in document]:
        raise ValueError(f"{path}: {', '.join(missing)} missing")
    acts: list[Act] = []
    for item in document["acts"]:
        act = _act(item)
        if acts:
            before = acts[-1]
            if act.at <= before.at:
                raise ValueError(f"{path}: the act at {item['at']} is out of order")
            act = replace(
                act,
                view=act.view or before.view,
                posture=act.posture or before.posture,
                gown=act.gown or before.gown,
            )
        acts.append(act)
    return Script(
        rubric=document["rubric"],
        length=seconds(document["length"]),
        acts=tuple(acts),
        left_out=tuple(document["left_out"]),
        global_rating=document["global_rating"],
        rulings=tuple(document["rulings"]),
        result=document["result"],
    )


def _act(item: dict[str, Any]) -> Act:
    values = {("held" if key == "with" else key): value for key, value in item.items()}
    unknown = values.keys() - {known.name for known in fields(Act)}
    if unknown:
        raise ValueError(
            f"act at {item.get('at')}: unknown {', '.join(sorted(unknown))}"
        )
    if values.get("element") and values.get("how") not in HOW:
        raise ValueError(f"act at {item['at']}: how must be one of {', '.join(HOW)}")
    for name in ("look", "touch"):
        values[name] = tuple(values.get(name, ()))
    return Act(**{**values, "at": seconds(values["at"])})


def seconds(text: str) -> int:
    """Seconds of "m:ss"."""
    match = re.fullmatch(r"(\d+):([0-5]\d)", text)
    if match is None:
        raise ValueError(f"{text!r} is not a time like 6:10")
    return int(match[1]) * 60 + int(match[2])


def clock(moment: int) -> str:
    """The time as the frame shows it, "m:ss"."""
    return f"{moment // 60}:{moment % 60:02d}"


def captions(script: Script) -> str:
    """What is said, as a WebVTT file with voice tags."""
    cues = ["WEBVTT\n"]
    for index, act in enumerate(script.acts):
        if not act.say:
            continue
        spoken = max(2.0, len(act.say.split()) * SECONDS_PER_WORD)
        end = min(act.at + spoken, script.end(index))
        cues.append(
            f"{_stamp(act.at)} --> {_stamp(end)}\n<v {act.by.title()}>{act.say}\n"
        )
    return "\n".join(cues)


def _stamp(moment: float) -> str:
    whole, thousandths = divmod(round(moment * 1000), 1000)
    hours, rest = divmod(whole, 3600)
    return f"{hours:02d}:{rest // 60:02d}:{rest % 60:02d}.{thousandths:03d}"


def expected_sheet(script: Script) -> dict[str, Any]:
    """What a careful marker gives, as a bellside-marks/1 document."""
    marks: list[dict[str, Any]] = []
    for act in script.acts:
        if not act.element:
            continue
        mark: dict[str, Any] = {"element": act.element, "state": act.how, "at": act.at}
        if act.level is not None:
            mark["level"] = act.level
        if act.how == "excused":
            mark["reason"] = act.why
        marks.append(mark)
    marks += [{"element": key, "state": "missed"} for key in script.left_out]
    return {
        "format": "bellside-marks/1",
        "length_seconds": script.length,
        "start_at": 0,
        "extra_minutes": 0,
        "global_rating": script.global_rating,
        "marks": marks,
        "hazards": [
            {"rule": act.hazard, "at": act.at, "confirmed": True}
            for act in script.acts
            if act.hazard
        ],
        "rulings": list(script.rulings),
    }
