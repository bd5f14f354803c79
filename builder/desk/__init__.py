"""The support desk's site: one search over all jobs, and what was sent of each, on a page of its own.

It stands apart from what is sent, and no job's page is linked from another's. A job's pages are written by
any process (`Desk.job`); `Desk.finish` puts the search together from what they left.
"""

from builder.desk.apart import refuse
from builder.desk.site import Desk, beside, jobs_of

__all__ = ["Desk", "beside", "jobs_of", "refuse"]
