"""Slow or second ways to the numbers, to hold the first ones to."""
