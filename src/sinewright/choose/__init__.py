"""Which operations are weighed, how tight each is sewn, and what is said of each in one sentence."""
