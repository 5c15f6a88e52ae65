"""The job: what somebody wants to build, as they wrote it down.

In: a TOML file whose quantities are text with units. Out: a `Job` of plain floats in the units
used inside. This room knows the form of the file, not what its values lead to; it imports only
`quantities` and `errors`.
"""

from __future__ import annotations

from printplan.job.drafting import draft_job
from printplan.job.reading import job_schema, read_job
from printplan.job.schema import Job

__all__ = ["Job", "draft_job", "job_schema", "read_job"]
