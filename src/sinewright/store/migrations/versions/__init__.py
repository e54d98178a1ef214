"""One file for each released schema. A released file is never edited."""
