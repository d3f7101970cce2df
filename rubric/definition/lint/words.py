"""What the English words of an element say: by lists of our own, not by grammar.

The verbs are those of exam rubrics: acts that a marker sees or hears. A text that is
unsure gets no advice, since an author who is told off wrongly stops reading.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from rubric.definition.values import Element, Technique

# What is seen or heard done, in the plain form.
_ACTS = frozenset(
    """
    abduct add adduct adjust advise agree aim align angle announce apply approach arrange
    ask assess assist assure auscultate avoid bare begin bend block bring brush bump call
    carry check choose clean cleanse clear close collect comment compare compress conclude
    confirm count cover cup defer deflate demonstrate depress describe direct discard
    disinfect dispose distract don do drape draw dry elicit encourage end ensure enter
    estimate evert examine expose explain extend face feel fill find finish flash flex
    follow gain get give gown grade grasp greet grip guide hand hear help hold identify
    illuminate immobilise immobilize inflate inform inquire enquire insert inspect
    instruct introduce invert invite keep knock label lay lead lean leave let level lift
    lightly listen locate look lower maintain make mark mask measure mention milk mention
    move name note obtain observe occlude offer open oppose order orient outline palpate
    pass pause perform percuss pinch place point position prepare present press prevent
    probe proceed promise pronate protect pull push put raise rate read reassure recognise
    recognize record refer reinforce release remind remove repeat reply report request
    resist respond rest retract return reveal review roll rotate rub run sanitise sanitize
    say scan seat seek select set shake share shine show sit slide spread squeeze stabilise
    stabilize stand start state stay steady step stop straighten stretch strike stroke
    summarise summarize supinate support swab sweep swing take talk tap tell test thank
    throw tilt time touch trace transilluminate turn uncover use verbalise verbalize verify
    view visualise visualize wait walk warm warn wash watch wear welcome whisper wipe work
    wrap write
    """.split()  # noqa: SIM905 - a list of words reads as one
)
# Not seen: what somebody has in mind, or is.
_NOT_SEEN = frozenset(
    """
    accept acknowledge acquire anticipate appear appreciate be become believe care
    comprehend consider decide distinguish empathise empathize expect grasp have
    internalise interpret know learn memorise memorize mind need notice perceive possess
    realise realize remember respect seem think understand value want
    """.split()  # noqa: SIM905
)
# After an act, these only tell what it found: one behaviour still.
_TELLING = frozenset(
    """
    announce comment describe document identify judge mention name note record report say
    state summarise summarize tell verbalise verbalize write
    """.split()  # noqa: SIM905
)
# And these only look at what it does.
_LOOKING = frozenset(["compare", "grade", "look", "observe", "see", "watch"])
# Of two of these joined, one can be done without the other.
_APART = [
    ("left", "right"),
    ("diaphragm", "bell"),
    ("anterior", "posterior"),
    ("front", "back"),
    ("upper", "lower"),
    ("supine", "standing"),
    ("sitting", "standing"),
    ("supine", "sitting"),
    ("light", "deep"),
    ("lightly", "deeply"),
    ("active", "passive"),
    ("direct", "consensual"),
    ("medial", "lateral"),
    ("before", "after"),
    ("flexion", "extension"),
    ("abduction", "adduction"),
    ("inspection", "palpation"),
    ("weber", "rinne"),
]
_PAIRS = {frozenset(pair) for pair in _APART}
_ADVERB = r"(?:(?:then|also|again|afterwards|finally|next|gently|slowly|carefully|firmly|lightly|deeply|briefly|quietly|correctly|properly|immediately|clearly|first|\w+ly) )*"
_JOINT = re.compile(
    rf"(?:,? (?:and then|and|then|&|plus|as well as|followed by|before|after) |, |; |: ?){_ADVERB}([a-z]+)"
)
_WORD = re.compile(r"[a-z]+(?:'[a-z]+)?")
_SUBJECT = re.compile(
    r"(?:the |a )?(?:student|examiner|learner|candidate|he|she|they)(?: (?:should|must|can|will))? "
)
_MAKES_DO = re.compile(
    r"ha(?:s|ve) the (?:volunteer|patient|person|model|partner|client) "
)
_STARTS = re.compile(_ADVERB)
_ARTICLE = frozenset(
    """
    a against all along an any at both each every for four from her him how if in it on
    one over that the them three to two under where whether with
    """.split()  # noqa: SIM905
)
# What the body has once, or on one side.
BOTH_SIDES_ARE_NOT_ALIKE = re.compile(
    r"\b(?:heart|cardiac|apex|apical|aort\w+|pulmon(?:ic|ary)|tricuspid|mitral|erb\w*"
    r"|precordi\w+|sternal|liver|hepat\w+|gall\w*|spleen|splen\w+|stomach|append\w+"
    r"|jugular|jvp|maximal impulse|pmi|mcburney\w*|murphy\w*)\b",
    re.IGNORECASE,
)
_REGIONS = {
    "arm": "radial ulnar brachial arm hand finger elbow wrist nail palm epitrochlear axilla",
    "leg": "femoral popliteal tibial dorsalis pedis leg foot feet toe knee calf ankle shin"
    " thigh groin plantar heel",
    "neck": "carotid jugular neck thyroid trachea cervical",
    "head": "eye ear nose mouth face scalp temporal sinus jaw pupil throat tonsil",
    "trunk": "chest lung heart apex aortic pulmonic tricuspid mitral precordium abdomen"
    " belly quadrant liver spleen kidney renal iliac flank",
}
_REGION = {word: region for region, words in _REGIONS.items() for word in words.split()}


def joins_two_behaviours(text: str) -> str | None:
    """The words that join a second behaviour to the first, or None.

    Two behaviours: two acts that can each be done without the other, or one act on
    both of a pair (left and right, diaphragm and bell). Telling or looking at what an
    act finds belongs to the act.

    >>> joins_two_behaviours("Cleans hands and puts on gloves")
    'and puts'
    >>> joins_two_behaviours("Counts the radial pulse and says rate and rhythm")
    """
    clause = _opening(text)
    first = _WORD.match(clause)
    if first is None:
        return None
    lemma = _lemma(first.group(), _ACTS)
    if lemma is None:
        return None
    form = _form(first.group(), lemma)
    belongs = _LOOKING if lemma in _TELLING else _LOOKING | _TELLING
    for joint in _JOINT.finditer(clause):
        act = _lemma(joint.group(1), _ACTS)
        if act is None or _form(joint.group(1), act) != form or act == lemma:
            continue
        if act in belongs:
            continue
        return joint.group().strip(" ,;:&")
    return None if lemma in ("compare", "distinguish", "tell") else _pair(clause)


def has_observable_verb(text: str) -> bool:
    """Whether the text begins with an act that can be seen or heard.

    >>> has_observable_verb("Palpates the {site} pulse, {side}")
    True
    >>> has_observable_verb("Understands the cardiac cycle")
    False
    """
    clause = _opening(text)
    words = _WORD.findall(clause)
    if not words:
        return False
    if _lemma(words[0], _ACTS) or _MAKES_DO.match(clause):
        return True
    if _lemma(words[0], _NOT_SEEN):
        return False
    # A verb that the list lacks: "elutes the ..."; nouns in -s are not followed so.
    return len(words) > 1 and words[0].endswith("s") and words[1] in _ARTICLE


def with_verb(text: str, technique: Technique) -> str | None:
    """The text after the verb of its technique, where it is a name without a verb."""
    words = _WORD.findall(_opening(text))
    if not words or _lemma(words[0], _NOT_SEEN) or technique is Technique.STATE:
        return None
    verb = {
        Technique.ASK: "Asks about",
        Technique.AUSCULTATE: "Auscultates",
        Technique.INSPECT: "Inspects",
        Technique.MEASURE: "Measures",
        Technique.PALPATE: "Palpates",
        Technique.PERCUSS: "Percusses",
        Technique.PERFORM: "Performs",
    }[technique]
    rest = text.strip()
    if len(rest) > 1 and rest[1].islower():
        rest = rest[0].lower() + rest[1:]
    return f"{verb} {rest}"


def regions(elements: Iterable[Element]) -> set[str]:
    """The regions of the body that the sites of the elements name; empty where one names none."""
    found: set[str] = set()
    for element in elements:
        here = {
            _REGION[word]
            for word in re.split(r"[^a-z]+", f"{element.site} {element.key}".lower())
            if word in _REGION
        }
        if not here:
            return set()
        found |= here
    return found


def _opening(text: str) -> str:
    """In lower case, without axes in braces, a subject, or adverbs before the verb."""
    clause = text.lower().strip(" -*•\"'“”")
    clause = _SUBJECT.sub("", clause, count=1) if _SUBJECT.match(clause) else clause
    return clause[_STARTS.match(clause).end() :]  # type: ignore[union-attr]


def _lemma(word: str, known: frozenset[str]) -> str | None:
    """The plain form of a verb in -s, or in the plain form, that is known."""
    forms = [word]
    if word.endswith("ies"):
        forms.append(f"{word[:-3]}y")
    if word.endswith("es"):
        forms.append(word[:-2])
    if word.endswith("s"):
        forms.append(word[:-1])
    if word in ("is", "are"):
        forms = ["be"]
    return next((form for form in forms if form in known), None)


def _form(word: str, lemma: str) -> str:
    return "plain" if word == lemma else "-s"


def _pair(clause: str) -> str | None:
    """Two of a pair joined by and: "left and right"."""
    for found in re.finditer(
        r"([a-z]+)(?: \w+)? (?:and|then|&) (?:the |then )?([a-z]+)", clause
    ):
        if frozenset(found.groups()) in _PAIRS:
            return found.group()
    return None
