"""Tests; a package of its own, so that no installed package called tests stands in its way in worker processes."""
