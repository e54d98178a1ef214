"""Numbered migrations, run by `sinewright.store.migrating` and never by hand."""
