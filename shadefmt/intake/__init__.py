"""One receiver's answer to a case: accepted, refused or undecided, under a profile and waivers.

The outcome of the check is about the file and stays what it is; what is worked out here stands beside it.
"""

from shadefmt.intake.desk import Desk, desk_of
from shadefmt.intake.receiving import receive

__all__ = ["Desk", "desk_of", "receive"]
