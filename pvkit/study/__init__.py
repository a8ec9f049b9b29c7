"""Estimates: stages run once, changes, comparison."""
