"""Curves, balance of muscle and tendon, architecture of each muscle, and how strong it is now."""
