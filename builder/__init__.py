"""Shellbed: one job spec in, one illustrated install guide out."""

__version__ = "0.1.0"
