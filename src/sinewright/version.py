"""The version of the program, which every document carries."""

__version__ = "0.1.0"
