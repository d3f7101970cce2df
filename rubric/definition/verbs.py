"""The technique that a line's words name."""

from __future__ import annotations

import re

from rubric.definition.values import Technique

# Verbs as a checklist has them; each also with -s, -es, -ing, and without its last e.
_VERBS: dict[Technique, str] = {
    Technique.INSPECT: "inspect look observe view visualise visualize note",
    Technique.PALPATE: "palpate feel press touch",
    Technique.PERCUSS: "percuss tap",
    Technique.AUSCULTATE: "auscultate listen",
    Technique.MEASURE: "measure count weigh time record",
    Technique.ASK: "ask request inquire enquire question obtain",
    Technique.STATE: "state explain introduce say describe tell report identify name "
    "summarise summarize thank inform verbalise verbalize announce",
}
_NOUNS = {
    "inspection": Technique.INSPECT,
    "observation": Technique.INSPECT,
    "palpation": Technique.PALPATE,
    "percussion": Technique.PERCUSS,
    "auscultation": Technique.AUSCULTATE,
    "measurement": Technique.MEASURE,
    "introduction": Technique.STATE,
    "explanation": Technique.STATE,
}
# What may stand before the verb and says nothing of the technique.
_BEFORE = frozenset(
    [
        "the",
        "a",
        "student",
        "examiner",
        "learner",
        "candidate",
        "clinician",
        "nurse",
        "provider",
        "will",
        "should",
        "must",
        "correctly",
        "properly",
        "gently",
        "carefully",
        "lightly",
        "deeply",
        "firmly",
        "bilaterally",
        "then",
        "also",
        "systematically",
    ]
)
_WORD = re.compile(r"[^\W\d_]+")


def _forms(verb: str) -> set[str]:
    stem = verb.removesuffix("e")
    double = f"{verb}{verb[-1]}ing"
    return {verb, f"{verb}s", f"{verb}es", f"{stem}ing", f"{stem}ies", double} | (
        {f"{verb[:-1]}ies"} if verb.endswith("y") else set()
    )


_KNOWN = _NOUNS | {
    form: technique
    for technique, verbs in _VERBS.items()
    for verb in verbs.split()
    for form in _forms(verb)
}


def technique_of(text: str) -> Technique | None:
    """What the first verb of the line says is done.

    >>> technique_of("The student gently palpates the radial pulse").value
    'palpate'
    >>> technique_of("Auscultation of the aortic area").value
    'auscultate'
    """
    for word in _WORD.findall(text.lower())[:5]:
        if word in _KNOWN:
            return _KNOWN[word]
        if word not in _BEFORE:
            return None
    return None


def technique_named(cell: str) -> Technique | None:
    """The technique that a cell names, whole or cut short: "Palp." is palpate."""
    word = cell.strip().rstrip(".").lower()
    if word in _KNOWN:
        return _KNOWN[word]
    cut = [t for t in Technique if len(word) >= 3 and t.value.startswith(word)]
    return cut[0] if len(cut) == 1 else None
