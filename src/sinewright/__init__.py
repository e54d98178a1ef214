"""Sinewright: a calculating notebook for tendon transfer in drop foot. Not a medical device."""

__version__ = "0.1.0"
