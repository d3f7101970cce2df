"""How each figure of the cohort pages is computed: in words, as a rule, with its source."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Method:
    """`words` are for a course lead, `rule` for whoever wants to work it out again."""

    name: str
    words: str
    rule: str
    source: str = ""


OMISSION = Method(
    "Left out",
    "A mark counts as left out when it earned no credit, or, if you choose so, when it "
    "has one of the states chosen. Not seen and excused marks count neither way.",
    "rate = marks left out / marks judged; judged = done, partly, said only, missed, or "
    "a level",
)
WILSON = Method(
    "Interval of a rate (Wilson score interval)",
    "Another cohort taught the same way would leave out a little more or less. The line "
    "shows the rates that fit what was seen; of 100 such lines about 95 hold the true "
    "rate.",
    "(p + z²/2n ± z √(p(1 − p)/n + z²/4n²)) / (1 + z²/n), z = 1.96",
    "Wilson EB (1927) J Am Stat Assoc 22:209; Newcombe RG (1998) Stat Med 17:857, "
    "method 3",
)
NEWCOMBE = Method(
    "Interval of a change (Newcombe’s hybrid score interval)",
    "The change is this cohort’s rate less the other’s, in percentage points. Where its "
    "interval holds 0, the two may be alike and differ by chance.",
    "a − b with limits a − b − √((a − low a)² + (high b − b)²) and a − b + "
    "√((high a − a)² + (b − low b)²), low and high from Wilson",
    "Newcombe RG (1998) Stat Med 17:873, method 10",
)
FISHER = Method(
    "p (Fisher’s exact test)",
    "How often chance alone would give two cohorts at least this far apart, were there "
    "no difference between them.",
    "the sum of the probabilities of all tables with the same margins that are no more "
    "probable than the one seen",
    "Fisher RA (1935) The Design of Experiments, chapter 2",
)
Q = Method(
    "q (Benjamini-Hochberg)",
    "Of a hundred elements compared, some differ by chance alone. q corrects p for all "
    "elements compared here: of those with q up to 0.05, about one in twenty is chance. "
    "Near 0.05 q and the interval may disagree, for they are different methods.",
    "q of the i-th smallest p of m is the least of m p / j over j ≥ i, at most 1",
    "Benjamini Y, Hochberg Y (1995) J R Stat Soc B 57:289",
)
PAIRS = Method(
    "Interval of a change within students (Newcombe, for pairs)",
    "The same students are looked at twice, so only those who changed tell anything: "
    "who left it out the first time and not the second, and the other way round.",
    "first − second with Wilson’s limits of both rates and the correlation of the "
    "fourfold table between them",
    "Newcombe RG (1998) Stat Med 17:2635, method 10",
)
MCNEMAR = Method(
    "p (McNemar’s exact test)",
    "Of the students who changed, how often would chance alone divide them at least "
    "this unevenly between better and worse?",
    "min(1, 2 P(X ≤ min(b, c))), X binomial with b + c and ½; b and c are the students "
    "who left it out only the first or only the second time",
    "McNemar Q (1947) Psychometrika 12:153; Fagerland MW and others (2013) BMC Med Res "
    "Methodol 13:91",
)
P_CHART = Method(
    "Control limits (p-chart)",
    "Were all groups alike, nearly every one would lie within three standard deviations "
    "of the rate of all. One outside deserves a look; one inside is no proof of "
    "anything.",
    "p ± 3 √(p(1 − p)/n), cut off at 0 and 1; p is the rate of all groups drawn, n the "
    "group’s recordings judged",
    "Montgomery DC, Introduction to Statistical Quality Control, control charts for "
    "fraction nonconforming",
)
FUNNEL = Method(
    "Funnel limits",
    "Small groups vary more, so the limits narrow as groups grow. Were all groups "
    "alike, about one in twenty would lie outside the inner lines and one in five "
    "hundred outside the outer ones.",
    "exact binomial quantiles at 2.5%, 97.5%, 0.1% and 99.9%, interpolated: "
    "(r − (P(X ≤ r) − t) / P(X = r)) / n, r the least integer with P(X ≤ r) > t",
    "Spiegelhalter DJ (2005) Stat Med 24:1185, appendix A.1.1",
)
FEW = Method(
    "Few recordings",
    "Under ten students a rate says more about chance and about persons than about a "
    "cohort: counts stand alone. The same holds where two choices of filter, taken "
    "from each other, would leave fewer than ten; where they would leave fewer than "
    "three, nothing is shown.",
    "for every two selections of recordings shown, the students in only one of them "
    "are none, or ten for rates and three for counts",
    "threshold rule: Hundepool A and others (2012) Statistical Disclosure Control, "
    "chapter 5; ten is this site’s choice, three is common practice",
)

OF_OMISSIONS = (OMISSION, WILSON, NEWCOMBE, FISHER, Q, FEW)
OF_PAIRS = (OMISSION, WILSON, PAIRS, MCNEMAR, Q, FEW)
OF_CHARTS = (OMISSION, WILSON, P_CHART, FUNNEL, FEW)
