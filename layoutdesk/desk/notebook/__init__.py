"""The notebook: one page per stage of the job, forms and tables on the same plan."""
