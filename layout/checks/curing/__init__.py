"""The smallest change that cures: shifts, lifts and what to take off, each tried before it is told."""
