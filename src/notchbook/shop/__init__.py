"""The pipeline: gathered rows to jobs, plans, planned rows and worked-out columns."""
