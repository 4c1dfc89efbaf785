"""Lengths as the trade writes them: parsing and formatting."""
