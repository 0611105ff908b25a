"""Sheets of samples with their labels drawn over."""
