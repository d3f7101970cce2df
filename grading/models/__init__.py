from grading.models.assignment import Assignment
from grading.models.change import Change
from grading.models.marking import Marking
from grading.models.phrase import Phrase
from grading.models.release import Release, ReleaseDocument
from grading.models.submission import Submission

__all__ = [
    "Assignment",
    "Change",
    "Marking",
    "Phrase",
    "Release",
    "ReleaseDocument",
    "Submission",
]
