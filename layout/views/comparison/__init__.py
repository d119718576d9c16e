"""Arrangements side by side, for people who read no drawings: pictures, plans, names, one table of differences."""
