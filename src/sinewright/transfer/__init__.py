"""Donors, routes, recipients and junctions: which muscle can be moved, by which way, sewn to what, and its reach."""
