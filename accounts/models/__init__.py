"""People, courses and who is what in them; who did and saw what."""

from accounts.models.audit import AuditEntry
from accounts.models.course import Cohort, Course
from accounts.models.invitation import Invitation, InvitationClosedError
from accounts.models.membership import LastLeadError, Membership
from accounts.models.person import User

__all__ = [
    "AuditEntry",
    "Cohort",
    "Course",
    "Invitation",
    "InvitationClosedError",
    "LastLeadError",
    "Membership",
    "User",
]
