"""One file for each page, in the order of the job."""
