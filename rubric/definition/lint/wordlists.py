"""Words of exam rubrics, for lint: what is done, what is not seen, what goes in pairs.

Our own lists, from the texts of the starter rubrics and the trade's usual verbs.
"""

from __future__ import annotations

# What is seen or heard done, in the plain form.
ACTS = frozenset(
    """
    abduct add adduct adjust advise agree aim align anchor angle announce apply
    approach arrange ask assemble assess assist assure attach auscultate avoid bare
    begin bend block bring brush bump calibrate call carry check choose clean cleanse
    clear close collect comment compare compress conclude confirm count cover cross
    cue cup dab darken defer deflate deliver demonstrate depress describe dim direct
    discard disinfect dispose disrobe distract do document don drain drape draw dress
    dry elicit encourage end engage enquire ensure enter escort estimate evert examine
    explain expose extend fasten feel fill find finish fix flash flex focus follow
    gain get give gown grade grasp greet grip guide hear heat help hold hook identify
    illuminate immobilise immobilize inflate inform inhale inquire insert inspect
    instruct interview introduce invert invite irrigate jot judge keep knead knock
    label lay lead lean leave let level lift listen locate lock look loop lower
    lubricate maintain make mark mask match measure mention milk mobilise mobilize
    move name nod note observe obtain occlude offer open oppose orient outline palpate
    pass pat pause peel percuss perform pick pinch place plug point poke polish
    position pour practice practise preheat prepare present press prevent prick prime
    probe proceed promise pronate protect provide pull pump push put question quote
    raise rate read reapply rearrange reassure recap recheck recite recognise
    recognize record recover redrape refer refill refit refrain reinflate reinforce
    relax release remind remove repeat reply report reposition request rescue resist
    respond rest retract return reveal review rinse rock roll rotate rub run sample
    sanitise sanitize say scan scrub seal seat secure seek select separate set settle
    shade shake share shield shine show sign signal sip sit slide slow soften speak
    spell splint spray spread squat squeeze stabilise stabilize stack stand start
    state stay steady step stimulate stir stop stow straighten strap stretch strike
    strip stroke suction suggest summarise summarize supinate support swab swallow
    sweep swing switch take talk tap tape tell tense test thank thread throw tie tilt
    time touch trace track transfer transilluminate treat trim tuck turn twist type
    uncover undress unfasten unroll untie use usher vary verbalise verbalize verify
    vibrate view visualise visualize wait walk warm warn wash watch wave wear weigh
    welcome wheel whisper wipe work wrap write
    """.split()  # noqa: SIM905 - a list of words reads as one
)
# Not seen: what somebody has in mind, or is.
NOT_SEEN = frozenset(
    """
    accept acknowledge acquire anticipate appear appreciate be become believe care
    comprehend consider decide distinguish empathise empathize expect grasp have
    internalise interpret know learn memorise memorize mind need notice perceive
    possess realise realize remember respect seem think understand value want
    """.split()  # noqa: SIM905 - a list of words reads as one
)
# After an act, these only tell what it found: one behaviour still.
TELLING = frozenset(
    """
    announce comment describe document identify judge mention name note record report
    say state summarise summarize tell verbalise verbalize write
    """.split()  # noqa: SIM905 - a list of words reads as one
)
# These only look at what it does, or take it down.
LOOKING = frozenset(
    ["compare", "count", "grade", "look", "mark", "observe", "see", "time", "watch"]
)
# Before an act, these only get ready for it.
GETTING_READY = frozenset(
    [
        "find",
        "fix",
        "grasp",
        "hold",
        "locate",
        "stabilise",
        "stabilize",
        "steady",
        "support",
    ]
)
# One movement there and back.
THERE_AND_BACK = [
    {"abduct", "adduct"},
    {"bend", "straighten"},
    {"flex", "extend"},
    {"open", "close"},
    {"pronate", "supinate"},
    {"raise", "lower"},
]
# Of two of these joined, one can be done without the other.
APART = {
    frozenset(pair)
    for pair in [
        ("abduction", "adduction"),
        ("active", "passive"),
        ("anterior", "posterior"),
        ("before", "after"),
        ("diaphragm", "bell"),
        ("direct", "consensual"),
        ("flexion", "extension"),
        ("front", "back"),
        ("inspection", "palpation"),
        ("left", "right"),
        ("light", "deep"),
        ("lightly", "deeply"),
        ("medial", "lateral"),
        ("sitting", "standing"),
        ("supine", "sitting"),
        ("supine", "standing"),
        ("upper", "lower"),
        ("weber", "rinne"),
    ]
}
# Each takes an act of its own to find out.
MEASURED = frozenset(
    """
    acuity breathing coordination fields gait hearing height power pressure pulse
    reflexes respirations saturation sensation strength temperature tone weight
    """.split()  # noqa: SIM905 - a list of words reads as one
)
ARTICLES = frozenset(["a", "an", "the", "each", "both", "every", "any", "it", "them"])
# What else follows a verb sooner than a name in -s.
AFTER_A_VERB = ARTICLES | frozenset(
    """
    against all along at for four from her him how if in on one over that three to two
    under where whether with
    """.split()  # noqa: SIM905 - a list of words reads as one
)
# By which words a site tells its region of the body.
REGIONS = {
    "arm": "radial ulnar brachial arm hand finger elbow wrist nail palm epitrochlear axilla",
    "leg": "femoral popliteal tibial dorsalis pedis leg foot feet toe knee calf ankle shin"
    " thigh groin plantar heel",
    "neck": "carotid jugular neck thyroid trachea cervical",
    "head": "eye ear nose mouth face scalp temporal sinus jaw pupil throat tonsil",
    "trunk": "chest lung heart apex aortic pulmonic tricuspid mitral precordium abdomen"
    " belly quadrant liver spleen kidney renal iliac flank",
}
