"""What the English words of an element say: by lists of our own, not by grammar.

A text that is unsure gets no advice, since an author who is told off wrongly stops
reading. How often that goes wrong is measured on fixtures/checks/element-texts.csv.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from rubric.definition.lint.wordlists import (
    ACTS,
    AFTER_A_VERB,
    APART,
    ARTICLES,
    GETTING_READY,
    LOOKING,
    MEASURED,
    NOT_SEEN,
    REGIONS,
    TELLING,
    THERE_AND_BACK,
)
from rubric.definition.values import Element, Technique

_ADVERBS = r"(?:(?:then|also|again|afterwards|finally|next|first|\w+ly) )*"
_JOINT = re.compile(
    r"(?:,? (?:and then|and|then|&|plus|as well as|followed by|before|after) |[,;] |: ?)"
    rf"{_ADVERBS}(?=([a-z]+)(?: ([a-z]+))?)"
)
_ALWAYS_JOINS = re.compile(r" (?:as well as|followed by) ")
_BOTH_OF = re.compile(
    r"(?=\b([a-z]+)(?: ([a-z]+))? (?:and|then|&) (?:the |then )?([a-z]+)(?: ([a-z]+))?)"
)
_WORD = re.compile(r"[a-z]+(?:'[a-z]+)?")
_SUBJECT = re.compile(
    r"(?:the |a )?(?:student|examiner|learner|candidate|he|she|they)"
    r"(?: (?:should|must|can|will))? "
)
_STARTS = re.compile(_ADVERBS)
_PERSON = r"(?:the |a )?(?:volunteer|patient|person|model|partner|client)"
_HAS_DO = re.compile(rf"ha(?:s|ve) {_PERSON} ")
_ASKS_TO = re.compile(rf"(?:asks?|has|have|lets?|tells?|gets?|instructs?) {_PERSON} ")
# Verbs that are seen, but not with these.
_IN_NAME_ONLY = re.compile(
    r"(?:demonstrates?|shows?|maintains?|keeps?) (?:\w+ )?(?:understanding|knowledge"
    r"|awareness|respect|empathy|confidence|rapport|professionalism|insight)\b"
    r"|(?:feels?|stays?|is|are) (?:sorry|sure|calm|confident|comfortable|aware)\b"
)
# What the body has once, or on one side.
BOTH_SIDES_ARE_NOT_ALIKE = re.compile(
    r"\b(?:heart|cardiac|apex|apical|aort\w+|pulmon(?:ic|ary)|tricuspid|mitral|erb\w*"
    r"|precordi\w+|sternal|liver|hepat\w+|gall\w*|spleen|splen\w+|stomach|append\w+"
    r"|jugular|jvp|maximal impulse|pmi|mcburney\w*|murphy\w*)\b",
    re.IGNORECASE,
)
_REGION = {word: region for region, words in REGIONS.items() for word in words.split()}
_VERBS = {
    Technique.ASK: "Asks about",
    Technique.AUSCULTATE: "Auscultates",
    Technique.INSPECT: "Inspects",
    Technique.MEASURE: "Measures",
    Technique.PALPATE: "Palpates",
    Technique.PERCUSS: "Percusses",
    Technique.PERFORM: "Performs",
}


def joins_two_behaviours(text: str) -> str | None:
    """The words that join a second behaviour to the first, or None.

    Two behaviours: two acts that can each be done without the other, or one act on
    both of a pair (left and right, diaphragm and bell). What gets ready for an act,
    and telling or looking at what it finds, belong to the act.

    >>> joins_two_behaviours("Cleans hands and puts on gloves")
    'and puts'
    >>> joins_two_behaviours("Counts the radial pulse and says rate and rhythm")
    """
    clause = _opening(text)
    words = _WORD.findall(clause)
    lemma = _verb(*words[:2]) if words else None
    if lemma is None:
        return None
    if found := _ALWAYS_JOINS.search(clause):
        return found.group().strip()
    return _second_act(clause, lemma, words[0]) or _pair(clause, lemma)


def has_observable_verb(text: str) -> bool:
    """Whether the text begins with an act that can be seen or heard.

    >>> has_observable_verb("Palpates the {site} pulse, {side}")
    True
    >>> has_observable_verb("Understands the cardiac cycle")
    False
    """
    clause = _opening(text)
    words = _WORD.findall(clause)
    if not words or _IN_NAME_ONLY.match(clause):
        return False
    return _verb(*words[:2]) is not None or bool(_HAS_DO.match(clause))


def with_verb(text: str, technique: Technique) -> str | None:
    """The text after the verb of its technique, where it is a name without a verb."""
    words = _WORD.findall(_opening(text))
    if not words or _lemma(words[0], NOT_SEEN | ACTS) or technique not in _VERBS:
        return None
    rest = text.strip()
    if len(rest) > 1 and rest[1].islower():
        rest = rest[0].lower() + rest[1:]
    return f"{_VERBS[technique]} {rest}"


def regions(elements: Iterable[Element]) -> set[str]:
    """The regions of the body that the elements name; empty where one names none."""
    found: set[str] = set()
    for element in elements:
        words = re.split(r"[^a-z]+", f"{element.site} {element.key}".lower())
        here = {_REGION[word] for word in words if word in _REGION}
        if not here:
            return set()
        found |= here
    return found


def _second_act(clause: str, lemma: str, first: str) -> str | None:
    """The joint before another act, in the same form as the first."""
    if lemma in GETTING_READY or _ASKS_TO.match(clause):
        return None
    belongs = LOOKING if lemma in TELLING else LOOKING | TELLING
    for joint in _JOINT.finditer(clause):
        word, after = joint.group(1), joint.group(2) or ""
        act = _verb(word, after, ARTICLES)
        if (
            act is None
            or act == lemma
            or act in belongs
            or (word == act) != (first == lemma)
            or {act, lemma} in THERE_AND_BACK
        ):
            continue
        return f"{joint.group()}{word}".strip(" ,;:&")
    return None


def _pair(clause: str, lemma: str) -> str | None:
    """Two of a pair, or two things that are each measured, joined by and."""
    if lemma in TELLING or lemma in ("compare", "distinguish"):
        return None
    for found in _BOTH_OF.finditer(clause):
        before, joined = found.groups()[:2], found.groups()[2:]
        for one in filter(None, before):
            for other in filter(None, joined):
                both = {one, other}
                if both in APART or (len(both) == 2 and both <= MEASURED):
                    return f"{one} and {other}"
    return None


def _opening(text: str) -> str:
    """In lower case, without a subject, or adverbs before the verb."""
    clause = text.lower().strip(" -*•\"'“”")
    clause = _SUBJECT.sub("", clause, count=1) if _SUBJECT.match(clause) else clause
    adverbs = _STARTS.match(clause)
    return clause[adverbs.end() :] if adverbs else clause


def _verb(
    word: str, after: str = "", follows: frozenset[str] = AFTER_A_VERB
) -> str | None:
    """The plain form of an act; also of one in -s that the list lacks, by what follows."""
    if lemma := _lemma(word, ACTS):
        return lemma
    is_unknown = word.endswith("s") and _lemma(word, NOT_SEEN) is None
    return word[:-1] if is_unknown and after in follows else None


def _lemma(word: str, known: frozenset[str]) -> str | None:
    """The plain form of a verb in -s, or in the plain form, that is known."""
    if word in ("is", "are"):
        word = "be"
    forms = [word]
    if word.endswith("ies"):
        forms.append(f"{word[:-3]}y")
    if word.endswith("es"):
        forms.append(word[:-2])
    if word.endswith("s"):
        forms.append(word[:-1])
    return next((form for form in forms if form in known), None)
